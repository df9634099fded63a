-- Two bakeries. The first has one row of everything at least; the second has only itself.
INSERT INTO bakery (bakery_id) VALUES (2);
UPDATE bakery SET name = 'Hearth and Rye', currency = 'EUR', time_zone = 'Europe/Berlin' WHERE bakery_id = 1;
INSERT INTO mixer (bakery_id, code, position, min_mg, max_mg) VALUES (1, 'spiral', 0, 5000000, 60000000);
INSERT INTO supplier (bakery_id, code, name) VALUES (1, 'mill', 'The mill');
INSERT INTO ingredient (bakery_id, code, name, kind, unit) VALUES
    (1, 'rye', 'Rye flour', 'flour', 'g'), (1, 'water', 'Water', 'water', 'g'),
    (1, 'salt', 'Salt', 'salt', 'g'), (1, 'bag', 'Paper bag', 'packaging', 'piece'),
    (1, 'oats', 'Oats', 'other', 'g');
INSERT INTO ingredient_price (bakery_id, ingredient, from_date, pack_mg, price_micros, supplier)
    VALUES (1, 'rye', '2026-01-01', 25000000, 21500000, 'mill'), (1, 'oats', '2026-01-01', 1000000, 1200000, NULL);
INSERT INTO starter (bakery_id, code, name, hydration_pct, water) VALUES (1, 'sour', 'Rye sour', 1000000, 'water');
INSERT INTO starter_flour (bakery_id, starter, position, ingredient, pct) VALUES (1, 'sour', 0, 'rye', 1000000);
INSERT INTO formula (bakery_id, code, name, basis, mixer) VALUES
    (1, 'dough', 'Rye dough', 'final', 'spiral'), (1, 'soaker', 'Soaker', 'final', NULL);
INSERT INTO formula_line (bakery_id, formula, position, ingredient, starter, part, pct) VALUES
    (1, 'soaker', 0, 'water', NULL, NULL, 1000000),
    (1, 'dough', 0, 'rye', NULL, NULL, 1000000),
    (1, 'dough', 1, NULL, 'sour', NULL, 400000),
    (1, 'dough', 2, NULL, NULL, 'soaker', 200000);
INSERT INTO formula_stage (bakery_id, formula, position, stage, minutes) VALUES (1, 'dough', 0, 'proof', 90);
INSERT INTO product (bakery_id, code, name, piece_mg) VALUES (1, 'loaf', 'Rye loaf', 1150000);
INSERT INTO product_part (bakery_id, product, position, ingredient, formula, mg) VALUES
    (1, 'loaf', 0, NULL, 'dough', 1140000), (1, 'loaf', 1, 'rye', NULL, 10000);
INSERT INTO product_packaging (bakery_id, product, position, ingredient, pieces) VALUES (1, 'loaf', 0, 'bag', 1);
INSERT INTO customer (bakery_id, code, name) VALUES (1, 'cafe', 'The café');
INSERT INTO customer_order (bakery_id, order_id, customer, bread_day, placed_by)
    VALUES (1, 41, 'cafe', '2026-03-28', 'ann');
INSERT INTO order_line (bakery_id, order_id, position, bread_day, customer, product, pieces)
    VALUES (1, 41, 0, '2026-03-28', 'cafe', 'loaf', 12);
INSERT INTO mixing_print (bakery_id, mixing_date, number, printed_by, body) VALUES (1, '2026-03-27', 1, 'ann', '{}');
INSERT INTO history (bakery_id, kind, code, revision, actor, body) VALUES (1, 'formula', 'dough', 5, 'ann', '{}');
INSERT INTO person (bakery_id, name, role, password_hash) VALUES (1, 'ann', 'owner', 'not a hash');
INSERT INTO web_session (bakery_id, digest, person, expires_at) VALUES (1, 'd1', 'ann', now() + interval '1 day');
INSERT INTO access_token (bakery_id, digest, name, role) VALUES (1, 'd2', 'till', 'counter');
INSERT INTO idempotency (bakery_id, key, digest) VALUES (1, 'k1', 'd3');

-- A starter that is fed and that no formula takes: its log keeps it.
INSERT INTO starter (bakery_id, code, name, hydration_pct, water) VALUES (1, 'levain', 'Levain', 1000000, 'water');
INSERT INTO starter_ripening (bakery_id, starter, position, seed, flour, water, c, minutes)
    VALUES (1, 'sour', 0, 10000, 20000, 20000, 260000, 300);
INSERT INTO starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg, on_hand_mg, seed_mg, flour_mg, water_mg, reverses) VALUES
    (1, 'levain', 1, 'begun', '2026-03-26 20:00Z', 'ann', 500000, 500000, NULL, NULL, NULL, NULL),
    (1, 'levain', 2, 'fed', '2026-03-26 20:05Z', 'ann', 300000, 800000, 200000, 300000, 300000, NULL),
    (1, 'levain', 3, 'taken', '2026-03-27 02:00Z', 'ann', -100000, 700000, NULL, NULL, NULL, NULL),
    (1, 'levain', 4, 'reversed', '2026-03-27 02:01Z', 'ann', 100000, 800000, NULL, NULL, NULL, 3);
INSERT INTO oven (bakery_id, code, position, decks, places, preheat_minutes, recovery_minutes) VALUES (1, 'stone', 0, 3, 1, 60, 10);
INSERT INTO shift (bakery_id, position, name, days, begins, ends, hands) VALUES (1, 0, 'Night', 254, 1200, 240, 2);
INSERT INTO product_bake_step (bakery_id, product, position, c, minutes, steam) VALUES (1, 'loaf', 0, 2500000, 50, true);
INSERT INTO night_temperatures (bakery_id, mixing_date, room_c) VALUES (1, '2026-03-27', 230000);
INSERT INTO dough_temperature (bakery_id, at, entered_by, formula, mixer, dough_c, water_c, flour_c, room_c, friction_c)
    VALUES (1, '2026-03-27 22:00Z', 'ann', 'dough', 'spiral', 260000, 200000, 210000, 230000, 140000);
INSERT INTO timetable_moves (bakery_id, bread_day) VALUES (1, '2026-03-28');
INSERT INTO timetable_move (bakery_id, bread_day, task, begins_at) VALUES (1, '2026-03-28', 'a task', '2026-03-27 23:00Z');

-- What a loaf costs and sells for. The list is the café's, and only the loaf is in it.
INSERT INTO rates (bakery_id, from_date, hand_hour_micros, kwh_micros, overhead_month_micros, overhead_by, overhead_base, round_micros, round_pieces)
    VALUES (1, '2026-01-01', 24500000, 310000, 4200000000, 'minutes', 21000, 18000000, 240);
INSERT INTO price_list (bakery_id, code, name, with_tax, step_micros, ending_micros) VALUES
    (1, 'trade', 'Trade', false, 1000000, 950000), (1, 'fair', 'At the fair', true, NULL, 0);
INSERT INTO product_pricing (bakery_id, product, tax_pct, target, target_pct) VALUES (1, 'loaf', 70000, 'margin', 600000);
INSERT INTO product_price (bakery_id, price_list, product, from_date) VALUES (1, 'trade', 'loaf', '2026-01-01');
INSERT INTO product_price_break (bakery_id, price_list, product, from_date, from_pieces, price_micros) VALUES
    (1, 'trade', 'loaf', '2026-01-01', 1, 3950000), (1, 'trade', 'loaf', '2026-01-01', 20, 3450000);
UPDATE customer SET price_list = 'trade' WHERE bakery_id = 1;
UPDATE formula_stage SET labour_per = 'batch', labour_minutes = 80000 WHERE bakery_id = 1;

-- The flour store: a delivery against an order, the feed of a starter, a batch that was mixed and undone, a count.
INSERT INTO supplier (bakery_id, code, name, phone, lead_days, order_days, minimum_order_micros)
    VALUES (1, 'carter', 'The carter', '555 0199', 2, 36, 150000000);
INSERT INTO ingredient (bakery_id, code, name, kind, unit) VALUES (1, 'spelt', 'Spelt flour', 'flour', 'g');
INSERT INTO formula (bakery_id, code, name, basis) VALUES (1, 'spelt', 'Spelt dough', 'final');
INSERT INTO product (bakery_id, code, name, piece_mg) VALUES (1, 'farl', 'Spelt farl', 400000);
INSERT INTO supply (bakery_id, ingredient, supplier, pack, service_pct, place) VALUES (1, 'spelt', 'carter', 25000000, 980000, 'loft');
INSERT INTO purchase_order (bakery_id, number, supplier, ordered_on, due_on, entered_by)
    VALUES (1, 61, 'carter', '2026-03-20', '2026-03-24', 'ann');
INSERT INTO purchase_order_line (bakery_id, number, position, ingredient, amount, pack) VALUES
    (1, 61, 0, 'spelt', 100000000, 25000000), (1, 61, 1, 'oats', 5000000, NULL);
INSERT INTO stock (bakery_id, ingredient, amount) VALUES (1, 'spelt', 49500000);
INSERT INTO posting (bakery_id, number, kind, date, by, supplier, delivery_note, purchase_order, starter, log_entry, reverses) VALUES
    (1, 71, 'received', '2026-03-24', 'ann', 'carter', 'D 12', 61, NULL, NULL, NULL),
    (1, 72, 'fed', '2026-03-26', 'ann', NULL, NULL, NULL, 'levain', 2, NULL),
    (1, 73, 'mixed', '2026-03-26', 'ann', NULL, NULL, NULL, NULL, NULL, NULL),
    (1, 74, 'reversed', '2026-03-26', 'ann', NULL, NULL, NULL, NULL, NULL, 73),
    (1, 75, 'counted', '2026-03-27', 'ann', NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO lot (bakery_id, number, ingredient, posting, supplier, received_on, received, pack, price_micros, lot_mark, best_before) VALUES
    (1, 81, 'spelt', 71, 'carter', '2026-03-24', 50000000, 25000000, 92000000, 'S-7', '2026-09-30');
INSERT INTO lot_place (bakery_id, lot, place, ingredient, amount) VALUES (1, 81, 'loft', 'spelt', 49500000);
INSERT INTO movement (bakery_id, number, posting, kind, date, ingredient, lot, place, delta, reverses) VALUES
    (1, 91, 71, 'received', '2026-03-24', 'spelt', 81, 'loft', 50000000, NULL),
    (1, 92, 72, 'fed', '2026-03-26', 'spelt', 81, 'loft', -300000, NULL),
    (1, 93, 73, 'mixed', '2026-03-26', 'spelt', 81, 'loft', -12000000, NULL),
    (1, 94, 74, 'mixed', '2026-03-26', 'spelt', 81, 'loft', 12000000, 93),
    (1, 95, 75, 'counted', '2026-03-27', 'spelt', 81, 'loft', -200000, NULL);
INSERT INTO mixed_batch (bakery_id, posting, mixing_date, formula, batch, attempt, mixed_at, dough_mg)
    VALUES (1, 73, '2026-03-26', 'spelt', 1, 1, '2026-03-26 21:00Z', 12700000);
INSERT INTO mixed_batch_line (bakery_id, posting, position, ingredient, starter, part, mg, log_entry, part_mixing_date) VALUES
    (1, 73, 0, 'spelt', NULL, NULL, 12000000, NULL, NULL),
    (1, 73, 1, NULL, 'levain', NULL, 100000, 3, NULL),
    (1, 73, 2, NULL, NULL, 'soaker', 600000, NULL, '2026-03-25');
INSERT INTO mixed_batch_for (bakery_id, posting, bread_day, product) VALUES (1, 73, '2026-03-27', 'farl');
INSERT INTO count_line (bakery_id, posting, position, ingredient, lot, place, expected, counted) VALUES
    (1, 75, 0, 'spelt', 81, 'loft', 49700000, 49500000);
