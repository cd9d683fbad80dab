-- The two roles, made once per cluster by its administrator before the first
-- migration. Running it again changes nothing. The owner owns the tables and
-- is used by `migrate` alone; the server logs in as a role that owns nothing
-- and is bound by every policy.
do $$
begin
  perform pg_advisory_xact_lock(hashtext('lathmark roles'));
  if not exists (select from pg_roles where rolname = 'lathmark_owner') then
    create role lathmark_owner login nosuperuser nobypassrls nocreaterole nocreatedb;
  end if;
  if not exists (select from pg_roles where rolname = 'lathmark_server') then
    create role lathmark_server login nosuperuser nobypassrls nocreaterole nocreatedb;
  end if;
end $$;
