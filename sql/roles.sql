-- The two roles of the program. Roles belong to the whole cluster, so they may be there already.
-- morrowloaf_owner owns the schema and runs migrations; morrowloaf_app is what the server works as: it
-- owns nothing and row-level security binds it. Neither can log in by itself: whoever connects becomes one
-- of them by SET ROLE. Nothing here is asked for that is there already, so that only the first run needs
-- the right to create roles.
DO $$
DECLARE
    wanted text;
    -- Since version 16 a role that made another is its member without the right to become it.
    membership text := CASE WHEN current_setting('server_version_num')::integer >= 160000
                            THEN 'SET' ELSE 'MEMBER' END;
BEGIN
    FOREACH wanted IN ARRAY ARRAY['morrowloaf_owner', 'morrowloaf_app'] LOOP
        IF NOT EXISTS (SELECT 1 FROM pg_roles WHERE rolname = wanted) THEN
            BEGIN
                EXECUTE format('CREATE ROLE %I NOLOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE', wanted);
            EXCEPTION WHEN duplicate_object OR unique_violation THEN
                NULL; -- another server of this cluster was faster
            END;
        END IF;
        IF NOT pg_has_role(current_user, wanted, membership) THEN
            BEGIN
                EXECUTE format('GRANT %I TO %I', wanted, current_user);
            EXCEPTION WHEN unique_violation THEN
                NULL; -- likewise
            END;
        END IF;
    END LOOP;
    IF NOT has_database_privilege('morrowloaf_owner', current_database(), 'CREATE') THEN
        EXECUTE format('GRANT CREATE ON DATABASE %I TO morrowloaf_owner', current_database());
    END IF;
END
$$;
