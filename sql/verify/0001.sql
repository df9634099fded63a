-- Raises when something of migration 0001 is missing: a table, a wall between bakeries, a right that the
-- server needs or one that it must not have.
DO $$
DECLARE
    kept text[] := ARRAY[
        'access_token', 'bakery', 'customer', 'customer_order', 'formula', 'formula_line', 'formula_stage',
        'history', 'idempotency', 'ingredient', 'ingredient_price', 'mixer', 'mixing_print', 'order_line',
        'person', 'product', 'product_packaging', 'product_part', 'starter', 'starter_flour', 'supplier',
        'web_session'];
    records text[] := ARRAY['mixing_print', 'history'];
    catalogue text[] := ARRAY[
        'bakery', 'formula', 'formula_line', 'formula_stage', 'ingredient', 'mixer', 'product',
        'product_packaging', 'product_part', 'starter', 'starter_flour'];
    own_bakery text := '^\(bakery_id = (morrowloaf\.)?current_bakery\(\)\)$';
    t text;
    found record;
BEGIN
    FOREACH t IN ARRAY kept LOOP
        IF to_regclass('morrowloaf.' || t) IS NULL THEN
            RAISE EXCEPTION 'table % is missing', t;
        END IF;
    END LOOP;

    FOR found IN
        SELECT c.relname, c.relrowsecurity AND c.relforcerowsecurity AS walled, c.relowner::regrole::text AS owner,
               (SELECT count(*) = 1 AND bool_and(p.polcmd = '*'
                       AND pg_get_expr(p.polqual, c.oid) ~ own_bakery
                       AND pg_get_expr(p.polwithcheck, c.oid) ~ own_bakery)
                  FROM pg_policy p WHERE p.polrelid = c.oid) AS policy_holds,
               (SELECT a.attname FROM pg_index i
                  JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum = i.indkey[0]
                 WHERE i.indrelid = c.oid AND i.indisprimary) AS first_of_key
          FROM pg_class c
         WHERE c.relnamespace = 'morrowloaf'::regnamespace AND c.relkind IN ('r', 'p')
           AND c.relname <> 'migration'
    LOOP
        IF NOT found.walled OR NOT found.policy_holds THEN
            RAISE EXCEPTION 'row-level security does not bind table % to one bakery', found.relname;
        END IF;
        IF found.first_of_key IS DISTINCT FROM 'bakery_id' THEN
            RAISE EXCEPTION 'the key of table % does not begin with bakery_id', found.relname;
        END IF;
        IF found.owner <> 'morrowloaf_owner' THEN
            RAISE EXCEPTION 'table % belongs to %', found.relname, found.owner;
        END IF;
    END LOOP;

    FOREACH t IN ARRAY kept LOOP
        IF NOT has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, 'SELECT')
           OR has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, 'INSERT') <> (t <> 'bakery')
           OR has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, 'UPDATE') <> (t <> ALL (records))
           OR has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, 'DELETE')
              <> (t <> ALL (records || ARRAY['bakery']))
           OR has_table_privilege('morrowloaf_app', 'morrowloaf.' || t, 'TRUNCATE, REFERENCES, TRIGGER') THEN
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

    IF EXISTS (SELECT FROM pg_shdepend
                WHERE refclassid = 'pg_authid'::regclass AND refobjid = 'morrowloaf_app'::regrole
                  AND deptype = 'o' AND dbid IN (0, (SELECT oid FROM pg_database WHERE datname = current_database())))
    THEN
        RAISE EXCEPTION 'morrowloaf_app owns something';
    END IF;
    IF EXISTS (SELECT FROM pg_roles
                WHERE rolname IN ('morrowloaf_app', 'morrowloaf_owner') AND (rolsuper OR rolbypassrls))
       OR pg_has_role('morrowloaf_app', 'morrowloaf_owner', 'MEMBER') THEN
        RAISE EXCEPTION 'row-level security does not bind the roles of the program';
    END IF;

    IF NOT EXISTS (SELECT FROM pg_class
                    WHERE oid = to_regclass('morrowloaf.reference') AND 'security_invoker=true' = ANY (reloptions))
       OR NOT has_table_privilege('morrowloaf_app', 'morrowloaf.reference', 'SELECT') THEN
        RAISE EXCEPTION 'view reference is missing, or shows more than its reader may see';
    END IF;
    IF NOT has_sequence_privilege('morrowloaf_app', 'morrowloaf.revision_number', 'USAGE')
       OR NOT has_function_privilege('morrowloaf_app', 'morrowloaf.current_bakery()', 'EXECUTE') THEN
        RAISE EXCEPTION 'morrowloaf_app cannot number revisions or know its bakery';
    END IF;

    PERFORM set_config('morrowloaf.bakery_id', '1', true);
    IF NOT EXISTS (SELECT FROM morrowloaf.bakery WHERE bakery_id = 1) THEN
        RAISE EXCEPTION 'the first bakery is missing';
    END IF;
END
$$;
