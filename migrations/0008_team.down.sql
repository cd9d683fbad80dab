-- Loses who works on which jobs: coming up again, whoever was on some sees none.
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
-- Which jobs somebody was on is lost. That it was not all of them is kept for the way up:
-- whoever saw some sees none then, until they are named on them again.
alter table member no force row level security;
alter table member add column was_limited boolean not null default false;
update member set was_limited = true where role = 'trade' and not every_job;
alter table member force row level security;
alter table member drop column every_job;
