-- What the server's role sees and may touch, bound to one bakery, to another, and to none.
BEGIN;
SET search_path = morrowloaf, public;
\ir fixture.sql
CREATE TEMP TABLE tables AS
    SELECT tablename::text AS name FROM pg_tables WHERE schemaname = 'morrowloaf' AND tablename <> 'migration';
GRANT SELECT ON tables TO morrowloaf_app;

-- Runs a command and tells how many rows it touched; a refusal tells its SQLSTATE and message.
CREATE FUNCTION pg_temp.touched(command text) RETURNS text LANGUAGE plpgsql AS $$
DECLARE
    n bigint;
BEGIN
    EXECUTE command;
    GET DIAGNOSTICS n = ROW_COUNT;
    RETURN n;
EXCEPTION WHEN insufficient_privilege THEN
    RETURN SQLSTATE || ' ' || SQLERRM;
END $$;
CREATE FUNCTION pg_temp.seen(name text) RETURNS bigint LANGUAGE plpgsql AS $$
DECLARE
    n bigint;
BEGIN
    EXECUTE format('SELECT count(*) FROM %I', name) INTO n;
    RETURN n;
END $$;

SET ROLE morrowloaf_app;
SELECT plan((6 * (SELECT count(*) FROM tables) + 9)::integer);

-- None
SELECT is(pg_temp.seen(name), 0::bigint, format('without a bakery nothing of %s is seen', name)) FROM tables;
SELECT is(current_bakery(), NULL, 'without a bakery there is none');

-- The other
SELECT set_config('morrowloaf.bakery_id', '2', true);
SELECT is(pg_temp.seen(name), (name = 'bakery')::integer::bigint,
          format('bakery 2 sees nothing of bakery 1 in %s', name)) FROM tables;
SELECT is((SELECT array_agg(bakery_id) FROM bakery), ARRAY[2::bigint], 'bakery 2 sees itself');
SELECT is(pg_temp.seen('reference'), 0::bigint, 'bakery 2 sees no references of bakery 1');
SELECT matches(pg_temp.touched(format('INSERT INTO %I (bakery_id) VALUES (1)', name)),
               CASE WHEN name = 'bakery' THEN '^42501 permission denied'
                    ELSE '^42501 new row violates row-level security policy' END,
               format('bakery 2 cannot insert into %s of bakery 1', name)) FROM tables;
SELECT matches(pg_temp.touched(format('UPDATE %I SET bakery_id = bakery_id WHERE bakery_id = 1', name)),
               CASE WHEN name IN ('mixing_print', 'history', 'starter_log', 'dough_temperature', 'posting', 'movement', 'mixed_batch',
                                  'mixed_batch_line', 'mixed_batch_for', 'count_line')
                    THEN '^42501 permission denied' ELSE '^0$' END,
               format('bakery 2 cannot change %s of bakery 1', name)) FROM tables;
SELECT matches(pg_temp.touched(format('DELETE FROM %I WHERE bakery_id = 1', name)),
               CASE WHEN name IN ('mixing_print', 'history', 'starter_log', 'dough_temperature', 'bakery', 'posting', 'movement',
                                  'mixed_batch', 'mixed_batch_line', 'mixed_batch_for', 'count_line', 'stock', 'lot', 'lot_place', 'purchase_order')
                    THEN '^42501 permission denied' ELSE '^0$' END,
               format('bakery 2 cannot delete from %s of bakery 1', name)) FROM tables;
-- A reference into bakery 1 would prove that the thing is there.
SELECT throws_like($$ INSERT INTO ingredient_price (bakery_id, ingredient, from_date, pack_mg, price_micros)
                      VALUES (2, 'rye', '2026-01-01', 1, 1) $$, '%"price_of_ingredient"%',
                   'bakery 2 cannot name an ingredient of bakery 1');

SELECT throws_like($$ INSERT INTO lot (bakery_id, ingredient, posting, received_on, received) VALUES (2, 'spelt', 71, '2026-03-24', 1) $$,
                   '%"lot_ingredient"%', 'bakery 2 cannot take in a lot of an ingredient of bakery 1');
SELECT throws_like($$ INSERT INTO posting (bakery_id, number, kind, date, by, reverses) VALUES (2, 99, 'reversed', '2026-03-24', 'x', 71) $$,
                   '%"posting_reverses"%', 'bakery 2 cannot undo what bakery 1 did');

-- Its own
SELECT set_config('morrowloaf.bakery_id', '1', true);
SELECT cmp_ok(pg_temp.seen(name), '>', 0::bigint, format('bakery 1 sees its own %s', name)) FROM tables;
SELECT matches(pg_temp.touched('UPDATE customer SET bakery_id = 2'),
               '^42501 new row violates row-level security policy', 'bakery 1 cannot give its customers to bakery 2');
SELECT matches(pg_temp.touched('TRUNCATE customer_order CASCADE'), '^42501 permission denied',
               'nobody empties a table');
SELECT matches(pg_temp.touched('ALTER TABLE customer NO FORCE ROW LEVEL SECURITY'), '^42501 must be owner',
               'the server cannot take down the wall');

SELECT * FROM finish();
ROLLBACK;
