/* Errors and surprises only: the layout of the sheets is for their readers. */
export default {
  rules: {
    'color-no-invalid-hex': true,
    'declaration-block-no-duplicate-properties': [true, { ignore: ['consecutive-duplicates'] }],
    'block-no-empty': true,
    'no-duplicate-selectors': null,
    'property-no-unknown': true,
    'unit-no-unknown': true,
    'function-no-unknown': true,
    'selector-pseudo-class-no-unknown': true,
    'selector-type-no-unknown': true,
    'media-feature-name-no-unknown': true,
    'declaration-property-value-no-unknown': true,
    'no-invalid-position-at-import-rule': true,
    'font-family-no-missing-generic-family-keyword': true,
    'shorthand-property-no-redundant-values': true,
  },
};
