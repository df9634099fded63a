-- Records are never changed, and revisions never come twice.
BEGIN;
SET search_path = morrowloaf, public;
\ir fixture.sql
SET ROLE morrowloaf_app;
SELECT set_config('morrowloaf.bakery_id', '1', true);
SELECT plan(19);

SELECT throws_ok('UPDATE mixing_print SET body = ''forged''', '42501', NULL, 'a print is not changed');
SELECT throws_ok('DELETE FROM mixing_print', '42501', NULL, 'a print is not deleted');
SELECT throws_ok('UPDATE history SET body = ''forged''', '42501', NULL, 'history is not changed');
SELECT throws_ok('DELETE FROM history', '42501', NULL, 'history is not deleted');
SELECT throws_ok('UPDATE starter_log SET delta_mg = 0', '42501', NULL, 'an entry of a starter''s log is not changed');
SELECT throws_ok('DELETE FROM starter_log', '42501', NULL, 'an entry of a starter''s log is not deleted');
SELECT throws_ok('UPDATE dough_temperature SET friction_c = 0', '42501', NULL, 'a dough temperature is not changed');
SELECT throws_ok('DELETE FROM dough_temperature', '42501', NULL, 'a dough temperature is not deleted');
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
