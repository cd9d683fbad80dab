do $$
declare
  t text;
begin
  for t in select tablename from pg_policies where policyname = 'named_jobs' and schemaname = 'public' loop
    execute format('drop policy named_jobs on %I', t);
  end loop;
end $$;
drop function limit_to_jobs(text);
drop function ask_as(uuid, uuid);
drop table member_job;
alter table member drop column every_job;
