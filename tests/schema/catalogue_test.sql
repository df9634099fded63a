-- The catalogue's number: another one after every change of what is kept in memory, the same after all else.
BEGIN;
SET search_path = morrowloaf, public;
\ir fixture.sql
SET ROLE morrowloaf_app;
SET LOCAL morrowloaf.bakery_id = '1';
SELECT plan(52);

-- Whether a command gives the catalogue another number.
CREATE FUNCTION pg_temp.renumbers(command text) RETURNS boolean LANGUAGE plpgsql AS $$
DECLARE
    before bigint := (SELECT catalogue_revision FROM bakery);
BEGIN
    EXECUTE command;
    RETURN before <> (SELECT catalogue_revision FROM bakery);
END $$;

SELECT ok(pg_temp.renumbers(command), command) FROM (VALUES
    ($$ UPDATE bakery SET scale_mg = 2000 $$),
    ($$ UPDATE mixer SET max_mg = 50000000 $$),
    ($$ UPDATE ingredient SET name = 'Dark rye flour' WHERE code = 'rye' $$),
    ($$ UPDATE starter SET keep_mg = 1 $$),
    ($$ UPDATE starter_flour SET pct = 999999 $$),
    ($$ UPDATE formula SET name = 'Dough' WHERE code = 'dough' $$),
    ($$ DELETE FROM formula_line WHERE part = 'soaker' $$),
    ($$ INSERT INTO formula_stage (bakery_id, formula, position, stage, minutes) VALUES (1, 'dough', 1, 'bake', 50) $$),
    ($$ UPDATE product SET spare_pct = 20000 $$),
    ($$ UPDATE product_part SET mg = 1 WHERE position = 1 $$),
    ($$ UPDATE product_packaging SET pieces = 2 $$),
    ($$ UPDATE bakery SET cold_mg = 80000000 $$),
    ($$ UPDATE bakery SET feed_from = 360, feed_to = 1320 $$),
    ($$ UPDATE bakery SET room_c = 220000 $$),
    ($$ UPDATE bakery SET flour_c = 210000 $$),
    ($$ UPDATE bakery SET tap_c = 140000 $$),
    ($$ UPDATE bakery SET preferment_c = 240000 $$),
    ($$ UPDATE oven SET decks = 4 $$),
    ($$ UPDATE shift SET hands = 3 $$),
    ($$ UPDATE starter_ripening SET minutes = 330 $$),
    ($$ UPDATE product SET per_place = 14 $$),
    ($$ UPDATE product_bake_step SET c = 2300000 $$),
    ($$ UPDATE mixer SET power_w = 1500 $$),
    ($$ UPDATE oven SET power_w = 2800 $$),
    ($$ UPDATE formula_stage SET labour_minutes = 90000 WHERE position = 0 $$),
    ($$ UPDATE product SET labour_minutes = 5000 $$),
    ($$ UPDATE product SET unsold_pct = 50000 $$),
    ($$ UPDATE product_pricing SET target_pct = 550000 $$),
    ($$ UPDATE bakery SET cost_by = 'fifo' $$)) AS changes (command);

SELECT ok(NOT pg_temp.renumbers(command), command) FROM (VALUES
    ($$ UPDATE order_line SET pieces = 13 $$),
    ($$ UPDATE customer SET phone = '0' $$),
    ($$ UPDATE ingredient_price SET price_micros = 1 $$),
    ($$ INSERT INTO starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg, on_hand_mg)
        VALUES (1, 'levain', 5, 'taken', now(), 'ann', -1, 799999) $$),
    ($$ UPDATE night_temperatures SET tap_c = 130000 $$),
    ($$ INSERT INTO dough_temperature (bakery_id, at, entered_by, formula, mixer, dough_c, water_c, flour_c, room_c, friction_c)
        VALUES (1, now(), 'ann', 'dough', 'spiral', 1, 1, 1, 1, 1) $$),
    ($$ UPDATE timetable_moves SET bread_day = bread_day $$),
    ($$ UPDATE timetable_move SET begins_at = now() $$),
    ($$ UPDATE rates SET kwh_micros = 1 $$),
    ($$ UPDATE price_list SET step_micros = NULL, ending_micros = 0 $$),
    ($$ UPDATE product_price SET from_date = from_date $$),
    ($$ UPDATE product_price_break SET price_micros = 1 $$),
    ($$ UPDATE customer SET price_list = NULL $$),
    ($$ UPDATE supplier SET lead_days = 3 $$),
    ($$ UPDATE supply SET pack = 1 $$),
    ($$ UPDATE stock SET amount = 1 $$),
    ($$ UPDATE lot SET held = true $$),
    ($$ UPDATE lot_place SET amount = 1 $$),
    ($$ UPDATE purchase_order SET closed = true $$),
    ($$ INSERT INTO posting (bakery_id, kind, date, by) VALUES (1, 'used', '2026-03-28', 'ann') $$),
    ($$ INSERT INTO movement (bakery_id, posting, kind, date, ingredient, lot, place, delta)
        VALUES (1, 75, 'counted', '2026-03-28', 'spelt', 81, 'loft', 1) $$)) AS changes (command);

-- Of its own bakery alone.
RESET ROLE;
SELECT set_config('test.before', (SELECT catalogue_revision::text FROM bakery WHERE bakery_id = 2), true);
SET ROLE morrowloaf_app;
SELECT ok(pg_temp.renumbers($$ DELETE FROM product_packaging $$), 'a deletion renumbers');
RESET ROLE;
SELECT is((SELECT catalogue_revision FROM bakery WHERE bakery_id = 2), current_setting('test.before')::bigint,
    'the other bakery keeps its number');

SELECT * FROM finish();
ROLLBACK;
