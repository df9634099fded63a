-- Raises when something of migration 0002 is missing: a table, a wall between bakeries, a right that the
-- server needs or one that it must not have, a trigger that renumbers the catalogue.
DO $$
DECLARE
    kept text[] := ARRAY['oven', 'shift', 'starter_ripening', 'starter_log', 'product_bake_step',
                         'night_temperatures', 'dough_temperature', 'timetable_moves', 'timetable_move'];
    records text[] := ARRAY['starter_log', 'dough_temperature'];
    catalogue text[] := ARRAY['bakery', 'oven', 'shift', 'starter_ripening', 'product_bake_step'];
    own_bakery text := '^\(bakery_id = (morrowloaf\.)?current_bakery\(\)\)$';
    t text;
BEGIN
    FOREACH t IN ARRAY kept LOOP
        IF to_regclass('morrowloaf.' || t) IS NULL THEN
            RAISE EXCEPTION 'table % is missing', t;
        END IF;
        IF NOT EXISTS (SELECT FROM pg_class WHERE oid = to_regclass('morrowloaf.' || t)
                          AND relrowsecurity AND relforcerowsecurity)
           OR NOT EXISTS (SELECT FROM pg_policy WHERE polrelid = to_regclass('morrowloaf.' || t) AND polcmd = '*'
                             AND pg_get_expr(polqual, polrelid) ~ own_bakery
                             AND pg_get_expr(polwithcheck, polrelid) ~ own_bakery) THEN
            RAISE EXCEPTION 'row-level security does not bind table % to one bakery', t;
        END IF;
        IF NOT has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, 'SELECT')
           OR NOT has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, 'INSERT')
           OR has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, 'UPDATE') = (t = ANY (records))
           OR has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, 'DELETE') = (t = ANY (records))
           OR has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, 'TRUNCATE, REFERENCES, TRIGGER') THEN
            RAISE EXCEPTION 'the rights of morrowloaf_app on table % are not the ones meant', t;
        END IF;
        IF NOT EXISTS (SELECT FROM pg_class c JOIN pg_index i ON i.indrelid = c.oid AND i.indisprimary
                         JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum = i.indkey[0]
                        WHERE c.oid = to_regclass('morrowloaf.' || t) AND a.attname = 'bakery_id'
                          AND c.relowner = 'morrowloaf_owner'::regrole) THEN
            RAISE EXCEPTION 'table % has another owner, or its key does not begin with bakery_id', t;
        END IF;
    END LOOP;
    FOREACH t IN ARRAY catalogue LOOP
        IF NOT EXISTS (SELECT FROM pg_trigger
                        WHERE tgrelid = to_regclass('morrowloaf.' || t) AND tgname = 'catalogue_changed'
                          AND tgenabled = 'O') THEN
            RAISE EXCEPTION 'a change of table % does not renumber the catalogue', t;
        END IF;
    END LOOP;
    IF (SELECT count(*) FROM information_schema.columns
         WHERE table_schema = 'morrowloaf'
           AND (table_name, column_name) IN (('bakery', 'cold_mg'), ('bakery', 'feed_from'), ('bakery', 'feed_to'),
               ('bakery', 'room_c'), ('bakery', 'flour_c'), ('bakery', 'tap_c'), ('bakery', 'preferment_c'),
               ('mixer', 'friction_c'), ('starter', 'stays_ripe_minutes'), ('starter', 'stands_c'),
               ('starter', 'pot_mg'), ('starter', 'feed_within_minutes'), ('starter', 'rest_feed_days'),
               ('starter', 'wake_feeds'), ('formula_stage', 'uses'), ('formula_stage', 'most_minutes'),
               ('product', 'per_place'))) <> 17 THEN
        RAISE EXCEPTION 'a column of migration 0002 is missing';
    END IF;
    -- The trigger on the settings was replaced by one that knows the new ones.
    IF (SELECT count(*) FROM pg_trigger, unnest(tgattr) AS columns (number)
          JOIN pg_attribute ON attnum = columns.number AND attrelid = 'morrowloaf.bakery'::regclass
         WHERE tgrelid = 'morrowloaf.bakery'::regclass AND tgname = 'catalogue_changed'
           AND attname IN ('cold_mg', 'feed_from', 'feed_to', 'room_c', 'flour_c', 'tap_c', 'preferment_c')) <> 7 THEN
        RAISE EXCEPTION 'a change of the settings does not renumber the catalogue';
    END IF;
    IF pg_get_viewdef('morrowloaf.reference'::regclass) NOT LIKE '%''log of''%'
       OR NOT has_table_privilege('morrowloaf_app', 'morrowloaf.reference', 'SELECT')
       OR NOT EXISTS (SELECT FROM pg_class WHERE oid = 'morrowloaf.reference'::regclass
                         AND 'security_invoker=true' = ANY (reloptions)) THEN
        RAISE EXCEPTION 'view reference does not name the logs of starters, or shows more than its reader may see';
    END IF;
    IF NOT has_sequence_privilege('morrowloaf_app', 'morrowloaf.dough_temperature_number_seq', 'USAGE') THEN
        RAISE EXCEPTION 'morrowloaf_app cannot number dough temperatures';
    END IF;
END
$$;
