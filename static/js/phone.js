/* Telephone numbers that dial. */
import { h, link } from './dom.js';

/* "tel:+3512…"; '' when it cannot be dialled. */
function dialled(phone) {
  const digits = phone.replace(/[^\d+]/g, '');
  return digits ? `tel:${digits}` : '';
}

/* A number to read and to dial; what cannot be dialled is text. */
export function telephone(phone) {
  if (!phone) return h('span', { class: 'missing' }, 'no telephone entered');
  const to = dialled(phone);
  return to ? link(to, phone, { class: 'telephone' }) : phone;
}

/* A button that dials, or null. */
export const callButton = ({ phone }) =>
  phone && dialled(phone) ? link(dialled(phone), `Call ${phone}`, { class: 'button quiet' }) : null;
