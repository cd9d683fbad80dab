-- Loses no record.
do $$
declare
  c record;
begin
  for c in select conrelid::regclass as of, conname from pg_constraint
    where contype = 'c' and connamespace = 'public'::regnamespace and conname like '%\_can\_be\_read'
  loop
    execute format('alter table %s drop constraint %I', c.of, c.conname);
  end loop;
end $$;
drop function are_wet(jsonb), is_outline(jsonb);
drop index act_room, opening_position, measurement_to_position, member_job_job, invitation_job_job;
drop trigger tell on session;
drop trigger tell on firm;
drop function tell_firm();
drop schema pulse cascade;
