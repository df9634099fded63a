-- Records are never changed, and revisions never come twice.
BEGIN;
SET search_path = morrowloaf, public;
\ir fixture.sql
SET ROLE morrowloaf_app;
SELECT set_config('morrowloaf.bakery_id', '1', true);
SELECT plan(41);

SELECT throws_ok('UPDATE mixing_print SET body = ''forged''', '42501', NULL, 'a print is not changed');
SELECT throws_ok('DELETE FROM mixing_print', '42501', NULL, 'a print is not deleted');
SELECT throws_ok('UPDATE history SET body = ''forged''', '42501', NULL, 'history is not changed');
SELECT throws_ok('DELETE FROM history', '42501', NULL, 'history is not deleted');
SELECT throws_ok('UPDATE starter_log SET delta_mg = 0', '42501', NULL, 'an entry of a starter''s log is not changed');
SELECT throws_ok('DELETE FROM starter_log', '42501', NULL, 'an entry of a starter''s log is not deleted');
SELECT throws_ok('UPDATE dough_temperature SET friction_c = 0', '42501', NULL, 'a dough temperature is not changed');
SELECT throws_ok('DELETE FROM dough_temperature', '42501', NULL, 'a dough temperature is not deleted');
SELECT throws_ok(format('UPDATE %I SET bakery_id = bakery_id', name), '42501', NULL, format('%s is not changed', name)) FROM unnest(
    ARRAY['posting', 'movement', 'mixed_batch', 'mixed_batch_line', 'mixed_batch_for', 'count_line']) name;
SELECT throws_ok(format('DELETE FROM %I', name), '42501', NULL, format('nothing of %s is deleted', name)) FROM unnest(
    ARRAY['posting', 'movement', 'mixed_batch', 'mixed_batch_line', 'mixed_batch_for', 'count_line', 'stock', 'lot', 'lot_place',
          'purchase_order']) name;
SELECT throws_ok('DELETE FROM bakery', '42501', NULL, 'the bakery is not deleted');
SELECT throws_ok('INSERT INTO bakery (bakery_id) VALUES (1)', '42501', NULL, 'no bakery is added');
SELECT throws_ok('UPDATE migration SET checksum = ''''', '42501', NULL, 'the list of migrations is not changed');
SELECT lives_ok($$ INSERT INTO mixing_print (bakery_id, mixing_date, number, replaces, printed_by, body)
                   VALUES (1, '2026-03-27', 2, 1, 'ann', '{}') $$, 'a print is added');
SELECT throws_ok($$ INSERT INTO mixing_print (bakery_id, mixing_date, number, printed_by, body)
                    VALUES (1, '2026-03-27', 2, 'ann', '{}') $$, '23505', NULL, 'a print has its number once');
SELECT throws_ok($$ INSERT INTO idempotency (bakery_id, key, digest) VALUES (1, 'k1', 'other') $$, '23505', NULL,
    'an idempotency key comes once');
SELECT lives_ok($$ INSERT INTO starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg, on_hand_mg)
                   VALUES (1, 'levain', 5, 'taken', now(), 'ann', -1, 799999) $$, 'an entry is added to a starter''s log');
SELECT throws_ok($$ INSERT INTO starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg, on_hand_mg)
                    VALUES (1, 'levain', 5, 'taken', now(), 'ann', -1, 799998) $$, '23505', NULL, 'an entry has its number once');
SELECT throws_like($$ INSERT INTO starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg, on_hand_mg)
                      VALUES (1, 'levain', 6, 'taken', now(), 'ann', -800000, -1) $$, '%"weight_not_negative"%',
    'a pot never holds less than nothing');

-- The flour store: what is mixed, fed or undone is so once, and no lot and no ingredient is ever less than nothing.
SELECT throws_like($$ INSERT INTO mixed_batch (bakery_id, posting, mixing_date, formula, batch, attempt, mixed_at, dough_mg)
                      VALUES (1, 75, '2026-03-26', 'spelt', 1, 1, now(), 1) $$, '%"mixed_batch_once"%', 'a batch is mixed once');
SELECT lives_ok($$ INSERT INTO mixed_batch (bakery_id, posting, mixing_date, formula, batch, attempt, mixed_at, dough_mg)
                   VALUES (1, 75, '2026-03-26', 'spelt', 1, 2, now(), 1) $$, 'and once more in another attempt');
SELECT throws_like($$ INSERT INTO posting (bakery_id, number, kind, date, by, reverses) VALUES (1, 76, 'reversed', '2026-03-26', 'ann', 73) $$,
    '%"posting_reversed_once"%', 'what was undone is not undone again');
SELECT throws_like($$ UPDATE lot_place SET amount = amount - 49500001 WHERE lot = 81 $$, '%"lot_not_below_zero"%',
    'a lot never holds less than nothing');
SELECT throws_like($$ UPDATE stock SET amount = amount - 49500001 WHERE ingredient = 'spelt' $$, '%"stock_not_below_zero"%',
    'nor does the store');
SELECT results_eq($$ SELECT sum(delta)::bigint FROM movement WHERE ingredient = 'spelt' $$, $$ SELECT amount FROM stock WHERE ingredient = 'spelt' $$,
    'what is there is the sum of the movements');

CREATE TEMP TABLE seen AS SELECT revision FROM supplier WHERE code = 'mill';
DELETE FROM ingredient_price;
DELETE FROM supplier WHERE code = 'mill';
INSERT INTO supplier (bakery_id, code, name) VALUES (1, 'mill', 'The mill');
SELECT cmp_ok((SELECT revision FROM supplier WHERE code = 'mill'), '>', (SELECT revision FROM seen),
    'a thing deleted and made anew has a new revision');
INSERT INTO supplier (bakery_id, code, name) VALUES (1, 'mill', 'The old mill')
    ON CONFLICT (bakery_id, code) DO UPDATE SET name = excluded.name, revision = excluded.revision;
SELECT cmp_ok((SELECT revision FROM supplier WHERE code = 'mill'), '>', (SELECT revision + 1 FROM seen),
    'and so has one that was replaced');

SELECT * FROM finish();
ROLLBACK;
