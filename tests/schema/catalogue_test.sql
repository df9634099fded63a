-- The catalogue's number: another one after every change of what is kept in memory, the same after all else.
BEGIN;
SET search_path = morrowloaf, public;
\ir fixture.sql
SET ROLE morrowloaf_app;
SET LOCAL morrowloaf.bakery_id = '1';
SELECT plan(16);

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
    ($$ UPDATE product_packaging SET pieces = 2 $$)) AS changes (command);

SELECT ok(NOT pg_temp.renumbers(command), command) FROM (VALUES
    ($$ UPDATE order_line SET pieces = 13 $$),
    ($$ UPDATE customer SET phone = '0' $$),
    ($$ UPDATE ingredient_price SET price_micros = 1 $$)) AS changes (command);

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
