-- Raises when something of migration 0002 is missing. The walls between bakeries are looked at for every
-- table by verify 0001, which runs for a database that has both.
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
           OR has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, 'DELETE') = (t = ANY (records)) THEN
            RAISE EXCEPTION 'the rights of morrowloaf_app on table % are not the ones meant', t;
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
    IF NOT has_sequence_privilege('morrowloaf_app', 'morrowloaf.dough_temperature_number_seq', 'USAGE') THEN
        RAISE EXCEPTION 'morrowloaf_app cannot number dough temperatures';
    END IF;
END
$$;
