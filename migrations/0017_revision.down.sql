-- Loses no record.
drop trigger touch_firm on job;
drop trigger touch_firm on member_job;
drop trigger touch_firm on member;
drop function touch_firm();
alter table firm drop column revision;
drop index timber_room, as_built_room, tail_seen_room, patch_room, client_link_job, measurement_from, measurement_to;
drop trigger touch on member;
drop trigger touch on job;
drop function touch_rooms_of_signer();
drop function touch_rooms_of_job();
create or replace function stage_signed(firm uuid, room uuid, of_stage text) returns boolean
language sql stable set search_path = public, pg_temp as $$
  select exists (select from gate where firm_id = firm and room_id = room
                 and stage = of_stage and state = 'signed_off')
$$;
create or replace function unrecorded(m measurement) returns boolean
language sql stable set search_path = public, pg_temp as $$
  select exists (select from layer l where l.firm_id = m.firm_id
    and (l.datum_id = m.from_id and not m.state_known or l.datum_id = m.to_id and not m.to_state_known))
$$;
create or replace function diary_line(d diary) returns text
language sql stable set search_path = public, pg_temp as $$
  select concat_ws(E'\n', d.firm_id, d.job_id, d.seq,
    to_char(d.at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"'),
    coalesce(d.member_id::text, ''), d.who, d.act, coalesce(d.room_id::text, ''), coalesce(d.stage, ''),
    d.says, d.detail::text)
$$;
create or replace function ask_as(firm uuid, member uuid, out every_job boolean, out jobs uuid[])
language plpgsql set search_path = public, pg_temp as $$
begin
  perform set_config('lathmark.firm', firm::text, true);
  select coalesce(bool_or(m.role in ('owner', 'foreman') or m.every_job), false) or ask_as.member is null into every_job
    from member m where m.firm_id = ask_as.firm and m.id = ask_as.member and m.left_at is null;
  select coalesce(array_agg(j.job_id), '{}') into jobs
    from member_job j join member m on m.firm_id = j.firm_id and m.id = j.member_id
   where j.firm_id = ask_as.firm and j.member_id = ask_as.member and m.left_at is null and not ask_as.every_job;
  perform set_config('lathmark.every_job', every_job::text, true), set_config('lathmark.jobs', jobs::text, true);
end $$;
create or replace function guard_room() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_op = 'DELETE' then
    raise exception using errcode = 'LM004', message = 'A room is not taken out of its job.';
  end if;
  if (new.firm_id, new.id, new.job_id) is distinct from (old.firm_id, old.id, old.job_id) then
    raise exception using errcode = 'LM004', message = 'A room stays in its job.';
  end if;
  if (new.name, new.outline, new.height_mm, new.wet)
     is distinct from (old.name, old.outline, old.height_mm, old.wet) then
    perform refuse_frozen(old.firm_id, old.id, 'first_fix');
  end if;
  return new;
end $$;
