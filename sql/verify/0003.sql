-- Raises when something of migration 0003 is missing: a table, a wall between bakeries, a right that the
-- server needs, a trigger that renumbers the catalogue.
DO $$
DECLARE
    kept text[] := ARRAY['rates', 'price_list', 'product_pricing', 'product_price', 'product_price_break'];
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
        IF (SELECT count(*) FROM unnest(ARRAY['SELECT', 'INSERT', 'UPDATE', 'DELETE']) AS privilege
             WHERE has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, privilege)) <> 4
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
    IF NOT EXISTS (SELECT FROM pg_trigger WHERE tgrelid = to_regclass('morrowloaf.product_pricing')
                      AND tgname = 'catalogue_changed' AND tgenabled = 'O') THEN
        RAISE EXCEPTION 'a change of table product_pricing does not renumber the catalogue';
    END IF;
    IF (SELECT count(*) FROM information_schema.columns
         WHERE table_schema = 'morrowloaf'
           AND (table_name, column_name) IN (('mixer', 'power_w'), ('oven', 'power_w'),
               ('formula_stage', 'labour_per'), ('formula_stage', 'labour_minutes'),
               ('product', 'labour_minutes'), ('product', 'unsold_pct'), ('customer', 'price_list'))) <> 7 THEN
        RAISE EXCEPTION 'a column of migration 0003 is missing';
    END IF;
    IF pg_get_viewdef('morrowloaf.reference'::regclass) NOT LIKE '%''price_list''%'
       OR NOT has_table_privilege('morrowloaf_app', 'morrowloaf.reference', 'SELECT')
       OR NOT EXISTS (SELECT FROM pg_class WHERE oid = 'morrowloaf.reference'::regclass
                         AND 'security_invoker=true' = ANY (reloptions)) THEN
        RAISE EXCEPTION 'view reference does not name the uses of price lists, or shows more than its reader may see';
    END IF;
END
$$;
