-- The two roles of the program. Roles belong to the whole cluster, so they may be there already.
-- morrowloaf_owner owns the schema and runs migrations; morrowloaf_app is what the server works as: it
-- owns nothing and row-level security binds it. Neither can log in by itself: whoever connects becomes one
-- of them by SET ROLE.
DO $$
DECLARE
    wanted text;
BEGIN
    FOREACH wanted IN ARRAY ARRAY['morrowloaf_owner', 'morrowloaf_app'] LOOP
        IF NOT EXISTS (SELECT 1 FROM pg_roles WHERE rolname = wanted) THEN
            BEGIN
                EXECUTE format('CREATE ROLE %I NOLOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE', wanted);
            EXCEPTION WHEN duplicate_object OR unique_violation THEN
                NULL; -- another server was faster
            END;
        END IF;
        IF NOT pg_has_role(current_user, wanted, 'MEMBER') THEN
            EXECUTE format('GRANT %I TO %I', wanted, current_user);
        END IF;
    END LOOP;
END
$$;
DO $$
BEGIN
    EXECUTE format('GRANT CREATE ON DATABASE %I TO morrowloaf_owner', current_database());
END
$$;
