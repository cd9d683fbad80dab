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
  when 'gate' then
    perform refuse_order(new.offered_at is distinct from old.offered_at and new.offered_at < s.signed_at,
      'A stage is offered after the stage before was signed off.')
      from gate g join sign_off s on s.firm_id = g.firm_id and s.id = g.sign_off_id
     where g.firm_id = new.firm_id and g.room_id = new.room_id and g.place = new.place - 1;
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
create trigger offered_in_order before update on gate for each row execute function in_order();
