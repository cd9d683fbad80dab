drop index timber_room, as_built_room, tail_seen_room, patch_room, client_link_job, measurement_from, measurement_to;
drop trigger touch on member;
drop trigger touch on job;
drop function touch_rooms_of_signer();
drop function touch_rooms_of_job();
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
