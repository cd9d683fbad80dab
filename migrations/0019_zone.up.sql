-- A firm works in a time zone (an IANA name), and its days are days there.
alter table firm add column zone text not null default 'UTC';
grant update (zone) on firm to lathmark_server;

-- LM006 is a zone that this PostgreSQL does not know, or knows by other spelling, or
-- takes for an abbreviation, which has no summer time (CET).
create function known_zone() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if not exists (select from pg_timezone_names where name = new.zone)
     or new.zone not like '%/%' and new.zone <> 'UTC' then
    raise exception using errcode = 'LM006', message = 'There is no such time zone.';
  end if;
  return new;
end $$;
create trigger known_zone_new before insert on firm
  for each row when (new.zone <> 'UTC') execute function known_zone();
create trigger known_zone before update of zone on firm
  for each row when (new.zone <> old.zone) execute function known_zone();

-- The firm's revision moves on with its zone, as pages name days.
create trigger touch_firm after update of zone on firm
  for each row when (new.zone <> old.zone) execute function touch_firm();

-- day_of is the day on which a moment falls where the firm works. It says the
-- same as words.Zone.Day, and no rule turns moments into days in another way.
create function day_of(firm uuid, at timestamptz) returns date
language plpgsql stable strict set search_path = public, pg_temp as $$
begin
  return (select (day_of.at at time zone f.zone)::date from firm f where f.firm_id = day_of.firm);
end $$;

-- hard_rule names the first hard rule of a stage that the room does not meet
-- at the given time, in the order of the gates table; null where all are met.
create or replace function hard_rule(firm uuid, room uuid, of_stage text, now timestamptz) returns text
language sql stable set search_path = public, pg_temp as $$
  select says from (
    select 1, 'first_fix', p.name || ' has no record that fixes where it is.' from position p
     where p.firm_id = firm and p.room_id = room and p.omitted_at is null and not fixed(p)
    union all
    select 2, 'first_fix', m.name || ' does not say what state its datum was in.' from measurement m
     where m.firm_id = firm and m.room_id = room and m.struck_at is null and unrecorded(m)
    union all
    select 3, 'first_fix', d.name || ' has no build-up planned and is not marked as staying bare.' from datum d
     where d.firm_id = firm and d.room_id = room and not d.stays_bare and used_face(d)
       and not exists (select from layer l where l.firm_id = d.firm_id and l.datum_id = d.id)
    union all
    select 4, 'boarding', 'The tail of ' || p.name || ' is not seen free.' from position p
     where p.firm_id = firm and p.room_id = room and p.omitted_at is null
       and not exists (select from tail_seen t where t.firm_id = p.firm_id and t.position_id = p.id)
    union all
    select 5, l.stage, 'The ' || l.name || ' on ' || d.name || ' is not recorded as put on.'
      from layer l join datum d on d.firm_id = l.firm_id and d.id = l.datum_id
     where l.firm_id = firm and l.room_id = room and l.stage in ('boarding', 'plaster') and used_face(d)
       and not exists (select from as_built b where b.firm_id = l.firm_id and b.layer_id = l.id)
    union all
    select 6, 'plaster', 'The day the plaster was finished is not recorded.'
     where not exists (select from finished f where f.firm_id = firm and f.room_id = room and f.stage = 'plaster'
       and f.finished_on <= day_of(firm, now))
    union all
    select 7, 'second_fix', p.name || ' is held or not opened.' from position p
     where p.firm_id = firm and p.room_id = room and p.omitted_at is null
       and (p.held or not exists (select from opening o where o.firm_id = p.firm_id and o.position_id = p.id))
    union all
    select 8, 'second_fix', 'Nothing makes good the lost hole at ' || p.name || '.'
      from opening o join position p on p.firm_id = o.firm_id and p.id = o.position_id
     where o.firm_id = firm and o.room_id = room and o.outcome in ('not_found', 'on_timber')
       and o.new_position_id is null
       and not exists (select from patch a where a.firm_id = o.firm_id and a.opening_id = o.id)
    union all
    select 9, 'decoration', 'A patch is not filled, or not dry.' from patch a
     where a.firm_id = firm and a.room_id = room and (a.filled_at is null or a.dry_at is null or a.dry_at > now)
    union all
    select 10, 'decoration', 'A snag is open: ' || s.says from snag s
     where s.firm_id = firm and s.room_id = room and s.closed_at is null
  ) rule (place, stage, says)
  where stage = of_stage order by place limit 1
$$;

-- What is done comes after what it stands on: the order of room.Record.InOrder. LM007
-- is what does not. It is asked when a day or a time is written, and not of what an
-- older program wrote: that stays as it is until it is given anew. What was done after
-- a stage was signed off for the first time stays, though it is signed off again.
create function first_signed(firm uuid, room uuid, of_stage text) returns timestamptz
language plpgsql stable set search_path = public, pg_temp as $$
begin
  return (select min(s.signed_at) from sign_off s where s.firm_id = firm and s.room_id = room and s.stage = of_stage);
end $$;

create function stage_before(of_stage text) returns text
language sql immutable as $$
  select case of_stage when 'boarding' then 'first_fix' when 'plaster' then 'boarding' when 'second_fix' then 'plaster'
    when 'decoration' then 'second_fix' end
$$;

create function refuse_order(wrong boolean, says text) returns void
language plpgsql as $$
begin
  if wrong then
    raise exception using errcode = 'LM007', message = says;
  end if;
end $$;

create function in_order() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  case tg_table_name
  when 'as_built' then
    perform refuse_order(new.put_on is distinct from old.put_on and new.put_on
        < day_of(new.firm_id, first_signed(new.firm_id, new.room_id, stage_before(new.stage))),
      'A layer is put on after the stage before was signed off.');
  when 'finished' then
    perform refuse_order(new.finished_on is distinct from old.finished_on and new.finished_on
        < day_of(new.firm_id, first_signed(new.firm_id, new.room_id, stage_before(new.stage))),
      'A stage is finished after the stage before was signed off.');
  when 'opening' then
    perform refuse_order(new.opened_at is distinct from old.opened_at and day_of(new.firm_id, new.opened_at)
        < day_of(new.firm_id, first_signed(new.firm_id, new.room_id, 'plaster')),
      'A hole is cut after the plaster was signed off.');
    perform refuse_order(new.opened_at is distinct from old.opened_at and new.opened_at > p.filled_at,
      'A patch is filled after its hole was cut.')
      from patch p where p.firm_id = new.firm_id and p.opening_id = new.id;
  when 'patch' then
    perform refuse_order(new.filled_at is distinct from old.filled_at and new.filled_at < o.opened_at,
      'A patch is filled after its hole was cut.')
      from opening o where o.firm_id = new.firm_id and o.id = new.opening_id;
  else
    perform refuse_order(new.closed_at is distinct from old.closed_at and new.closed_at < new.noted_at,
      'A snag is put right after it was noted.');
  end case;
  return new;
end $$;

do $$
declare
  t text;
begin
  foreach t in array array['as_built', 'finished', 'opening', 'patch', 'snag']
  loop
    execute format('create trigger in_order before insert or update on %I for each row execute function in_order()', t);
  end loop;
end $$;
