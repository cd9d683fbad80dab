-- Loses no record, but that what is signed is frozen.
do $$
declare
  t record;
begin
  for t in select tgname, tgrelid::regclass as rel from pg_trigger join pg_class c on c.oid = tgrelid
            where not tgisinternal and tgname in ('guard', 'never', 'never_all', 'chain')
              and c.relnamespace = 'public'::regnamespace
  loop
    execute format('drop trigger %I on %s', t.tgname, t.rel);
  end loop;
end $$;
drop function chain_diary, diary_line, never_changed, guard_room, guard_patch, guard_position, guard_record,
  refuse_frozen, touch_room, stage_signed;
