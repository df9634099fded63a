/* The habits of the page's code: small functions, no dead names, no text parsed as HTML. */
const browser = Object.fromEntries(
  [
    'window',
    'document',
    'location',
    'history',
    'localStorage',
    'fetch',
    'crypto',
    'console',
    'Intl',
    'AbortController',
    'CSSStyleSheet',
    'Event',
    'HTMLTableCellElement',
    'setTimeout',
    'clearTimeout',
    'setInterval',
    'clearInterval',
    'requestAnimationFrame',
    'CSS',
  ].map((name) => [name, 'readonly']),
);
const node = Object.fromEntries(
  [
    'process',
    'console',
    'Buffer',
    'URL',
    'fetch',
    'setTimeout',
    'clearTimeout',
    'Event',
    'window',
    'document',
    'location',
    'localStorage',
  ].map((name) => [name, 'readonly']),
);

const rules = {
  'no-undef': 'error',
  'no-unused-vars': 'error',
  'no-shadow': 'error',
  'no-var': 'error',
  'prefer-const': 'error',
  eqeqeq: 'error',
  'no-implicit-globals': 'error',
  'no-eval': 'error',
  'no-unreachable': 'error',
  'no-dupe-keys': 'error',
  'no-self-assign': 'error',
  'no-unused-expressions': ['error', { allowShortCircuit: true }],
  'no-promise-executor-return': 'error',
  'require-await': 'error',
  'no-use-before-define': ['error', { functions: false, classes: false, variables: false }],
  'array-callback-return': 'error',
  'max-lines-per-function': ['error', { max: 60 }],
  'max-lines': ['error', { max: 400 }],
  complexity: ['error', 14],
  'max-len': ['error', { code: 150 }],
  'no-restricted-properties': [
    'error',
    { property: 'innerHTML', message: 'Text is set as text.' },
    { property: 'outerHTML' },
  ],
};

export default [
  { ignores: ['node_modules/**'] },
  {
    files: ['**/static/js/**/*.js'],
    languageOptions: { ecmaVersion: 2024, sourceType: 'module', globals: browser },
    rules,
  },
  {
    files: ['**/tests/browser/*.js'],
    languageOptions: { ecmaVersion: 2024, sourceType: 'module', globals: node },
    rules: {
      ...rules,
      'max-lines-per-function': 'off',
      'no-restricted-properties': 'off',
      'require-await': 'off',
    },
  },
];
