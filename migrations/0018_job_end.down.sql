-- Loses which jobs are closed.
drop trigger touch_closing on job;
drop trigger touch_opening on job;
drop function remove_room(uuid, uuid), remove_job(uuid, uuid);
drop trigger in_diary on job;
drop trigger in_diary on room;
drop trigger gone_in_diary on room;
drop function end_in_diary();

drop trigger guard on room;
create or replace function guard_room() returns trigger
language plpgsql set search_path = public, pg_temp as $$
declare
  me bigint := pg_current_xact_id()::text::bigint;
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
  if old.touched <> me then -- once per transaction, whoever writes: see touch_room
    new.revision := old.revision + 1;
    new.touched := me;
  end if;
  return new;
end $$;
create trigger guard before update or delete on room for each row execute function guard_room();

drop trigger goes on gate;
drop function goes_with_room();
drop trigger guard on gate;
create trigger guard before insert or update or delete on gate for each row execute function guard_gate();
alter table gate drop constraint gate_firm_id_room_id_fkey,
  add constraint gate_firm_id_room_id_fkey foreign key (firm_id, room_id) references room;

drop trigger goes on diary;
drop function goes_with_job();
drop trigger guard on diary;
create trigger guard before update or delete on diary for each row execute function guard_diary();
alter table diary drop constraint diary_firm_id_job_id_fkey,
  add constraint diary_firm_id_job_id_fkey foreign key (firm_id, job_id) references job;

drop trigger guard on job;
drop function guard_job();
drop trigger open_job on diary;
drop trigger open_job on act;
drop trigger open_job on room;
drop function open_for_entry(), open_for_act(), open_for_room(), refuse_closed(uuid, uuid);
drop index job_open;
alter table job drop column closed_at, drop column version;
