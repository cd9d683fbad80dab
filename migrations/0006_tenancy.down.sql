-- Loses no record, but that the database keeps firms apart.
revoke all on schema_migrations from lathmark_server;
do $$
declare
  t record;
begin
  for t in select tablename from pg_policies where policyname = 'own_firm' and schemaname = 'public' loop
    execute format('drop policy own_firm on %I', t.tablename);
    execute format('alter table %I no force row level security', t.tablename);
    execute format('alter table %I disable row level security', t.tablename);
    execute format('revoke all on %I from lathmark_server', t.tablename);
  end loop;
end $$;
