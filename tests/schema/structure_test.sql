-- What every table must have, whichever it is: a table added later is checked without a line here.
BEGIN;
SET search_path = morrowloaf, public;
SELECT plan(17);

CREATE TEMP VIEW book AS
    SELECT c.oid, c.relname::text AS name, c.relowner::regrole::text AS owner, c.relrowsecurity, c.relforcerowsecurity
      FROM pg_class c
     WHERE c.relnamespace = 'morrowloaf'::regnamespace AND c.relkind IN ('r', 'p') AND c.relname <> 'migration';

SELECT cmp_ok((SELECT count(*) FROM book), '>=', 48::bigint, 'the book has its tables');

-- Bakeries
SELECT is_empty($$ SELECT name FROM book WHERE NOT (relrowsecurity AND relforcerowsecurity) $$,
    'row-level security is forced on every table');
SELECT is_empty($$ SELECT name FROM book LEFT JOIN pg_policy p ON polrelid = book.oid
                    GROUP BY name HAVING count(p.oid) <> 1 OR bool_or(polcmd <> '*' OR NOT polpermissive)
                        OR min(pg_get_expr(polqual, polrelid)) <> '(bakery_id = current_bakery())'
                        OR min(pg_get_expr(polwithcheck, polrelid)) <> '(bakery_id = current_bakery())' $$,
    'the one policy of every table lets its own bakery through, and nothing else');
SELECT is_empty($$ SELECT b.name, i.indexrelid::regclass FROM book b JOIN pg_index i ON i.indrelid = b.oid
                     JOIN pg_attribute a ON a.attrelid = b.oid AND a.attnum = i.indkey[0]
                    WHERE a.attname <> 'bakery_id' $$,
    'every key and index begins with bakery_id');
SELECT is_empty($$ SELECT name FROM book
                    WHERE NOT EXISTS (SELECT FROM pg_index WHERE indrelid = book.oid AND indisprimary) $$,
    'every table has a primary key');
SELECT is_empty($$ SELECT conname FROM book b JOIN pg_constraint k ON k.conrelid = b.oid AND contype = 'f'
                     JOIN pg_attribute a ON a.attrelid = b.oid AND a.attnum = conkey[1]
                     JOIN pg_attribute r ON r.attrelid = confrelid AND r.attnum = confkey[1]
                    WHERE a.attname <> 'bakery_id' OR r.attname <> 'bakery_id' $$,
    'every reference stays within its bakery');
SELECT is_empty($$ SELECT name FROM book JOIN pg_attribute a ON attrelid = book.oid AND attname = 'bakery_id'
                    WHERE NOT attnotnull OR atttypid <> 'bigint'::regtype $$,
    'bakery_id is a bigint and never null');

-- Rights
SELECT is_empty($$ SELECT name FROM book WHERE owner <> 'morrowloaf_owner' $$, 'the owner owns every table');
SELECT is_empty($$ SELECT d.classid::regclass, d.objid FROM pg_shdepend d
                    WHERE refobjid = 'morrowloaf_app'::regrole AND deptype = 'o' $$,
    'the role of the server owns nothing');
SELECT is_empty($$ SELECT rolname FROM pg_roles WHERE rolname IN ('morrowloaf_app', 'morrowloaf_owner')
                      AND (rolsuper OR rolbypassrls OR rolcreaterole OR rolcreatedb OR rolcanlogin) $$,
    'neither role of the program may do more than its work');
SELECT ok(NOT pg_has_role('morrowloaf_app', 'morrowloaf_owner', 'MEMBER'),
    'the role of the server cannot become the owner');
SELECT ok(NOT has_schema_privilege('morrowloaf_app', 'morrowloaf', 'CREATE'),
    'the role of the server cannot add to the schema');
SELECT is_empty($$ SELECT name FROM book, aclexplode((SELECT relacl FROM pg_class WHERE oid = book.oid)) a
                    WHERE a.grantee NOT IN ('morrowloaf_owner'::regrole, 'morrowloaf_app'::regrole) $$,
    'nobody else has rights on a table');
SELECT is_empty($$ SELECT relname FROM pg_class
                    WHERE relnamespace = 'morrowloaf'::regnamespace AND relkind = 'v'
                      AND NOT coalesce('security_invoker=true' = ANY (reloptions), false) $$,
    'no view shows more than its reader may see');

-- Habits
SELECT is_empty($$ SELECT conname FROM pg_constraint WHERE connamespace = 'morrowloaf'::regnamespace
                      AND conname ~ '_(check|fkey|key|excl|not_null)[0-9]*$' $$,
    'every rule has a name that was given to it');
SELECT is_empty($$ SELECT b.name, attname FROM book b JOIN pg_attribute a ON attrelid = b.oid AND attnum > 0
                    WHERE atttypid IN ('real'::regtype, 'double precision'::regtype, 'numeric'::regtype,
                                       'money'::regtype, 'timestamp'::regtype) $$,
    'nothing is stored inexactly or without a time zone');
SELECT is_empty($$ SELECT name FROM book WHERE obj_description(oid, 'pg_class') IS NULL $$,
    'every table says what it is for');

SELECT * FROM finish();
ROLLBACK;
