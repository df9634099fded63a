-- Raises when something of migration 0004 is missing: a table, a wall between bakeries, a right that the
-- server needs or must not have, a sum that may not fall below zero.
DO $$
DECLARE
    kept text[] := ARRAY['supply', 'purchase_order', 'purchase_order_line', 'stock', 'posting', 'lot', 'lot_place',
                         'movement', 'mixed_batch', 'mixed_batch_line', 'mixed_batch_for', 'count_line'];
    records text[] := ARRAY['posting', 'movement', 'mixed_batch', 'mixed_batch_line', 'mixed_batch_for', 'count_line'];
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
        IF (SELECT count(*) FROM unnest(ARRAY['SELECT', 'INSERT']) AS privilege
             WHERE has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, privilege)) <> 2
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
    FOREACH t IN ARRAY records LOOP
        IF has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, 'UPDATE, DELETE') THEN
            RAISE EXCEPTION 'morrowloaf_app may change table %, which is a record', t;
        END IF;
    END LOOP;
    IF (SELECT count(*) FROM pg_constraint WHERE convalidated AND contype = 'c'
         AND (conrelid, conname) IN ((to_regclass('morrowloaf.stock'), 'stock_not_below_zero'),
                                     (to_regclass('morrowloaf.lot_place'), 'lot_not_below_zero'))) <> 2
       OR (SELECT count(*) FROM pg_constraint WHERE contype = 'u'
            AND (conrelid, conname) IN ((to_regclass('morrowloaf.mixed_batch'), 'mixed_batch_once'),
                                        (to_regclass('morrowloaf.posting'), 'posting_reversed_once'),
                                        (to_regclass('morrowloaf.movement'), 'movement_reversed_once'))) <> 3 THEN
        RAISE EXCEPTION 'stock could fall below zero, or a batch or reversal be posted twice';
    END IF;
    IF (SELECT count(*) FROM information_schema.columns
         WHERE table_schema = 'morrowloaf'
           AND (table_name, column_name) IN (('bakery', 'cost_by'), ('supplier', 'phone'), ('supplier', 'email'),
               ('supplier', 'address'), ('supplier', 'lead_days'), ('supplier', 'order_days'),
               ('supplier', 'minimum_order_micros'))) <> 7 THEN
        RAISE EXCEPTION 'a column of migration 0004 is missing';
    END IF;
    IF pg_get_viewdef('morrowloaf.reference'::regclass) NOT LIKE '%''stock of''%'
       OR NOT has_table_privilege('morrowloaf_app', 'morrowloaf.reference', 'SELECT')
       OR NOT EXISTS (SELECT FROM pg_class WHERE oid = 'morrowloaf.reference'::regclass
                         AND 'security_invoker=true' = ANY (reloptions)) THEN
        RAISE EXCEPTION 'view reference does not name the uses by the stock, or shows more than its reader may see';
    END IF;
END
$$;
