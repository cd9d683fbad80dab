-- What a server writes to see that it can: a row that fills most of a page, taken out in
-- the same transaction. It is no firm's, nobody ever sees one, and so it stands apart.
create schema pulse;
create table pulse.beat (filler text not null);
alter table pulse.beat alter filler set storage plain;
grant usage on schema pulse to lathmark_server;
grant select, insert, delete on pulse.beat to lathmark_server;

-- Whoever is let go, taken off a job or signed out, by whatever way: pages that listen look
-- at once whether they still may. A word in the transaction holds a lock of all who send
-- one up to the end of the commit, which these few can afford.
create function tell_firm() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  perform pg_notify('lathmark_change', old.firm_id || ' - - 0');
  return null;
end $$;
create trigger tell after update on firm for each row execute function tell_firm();
create trigger tell after delete on session for each row execute function tell_firm();

-- What is looked for by these, or before what they name is taken out.
create index act_room on act (firm_id, room_id);
create index opening_position on opening (firm_id, position_id);
create index measurement_to_position on measurement (firm_id, to_position_id) where to_position_id is not null;
create index member_job_job on member_job (firm_id, job_id);
create index invitation_job_job on invitation_job (firm_id, job_id);

-- is_outline reports whether corners are an outline: three or more points of two figures
-- in range, around some area. What the sides do is the program's to check.
create function is_outline(corners jsonb) returns boolean
language plpgsql immutable set search_path = public, pg_temp as $$
declare
  area double precision := 0;
  before jsonb;
  corner jsonb;
begin
  if jsonb_typeof(corners) <> 'array' or jsonb_array_length(corners) < 3 then
    return false;
  end if;
  for corner in select jsonb_array_elements(corners) loop
    if jsonb_typeof(corner) <> 'array' or jsonb_array_length(corner) <> 2
       or jsonb_typeof(corner -> 0) <> 'number' or jsonb_typeof(corner -> 1) <> 'number'
       or abs((corner -> 0)::numeric) > 100000 or abs((corner -> 1)::numeric) > 100000 then
      return false;
    end if;
  end loop;
  before := corners -> -1;
  for corner in select jsonb_array_elements(corners) loop
    area := area + (before -> 0)::float * (corner -> 1)::float - (corner -> 0)::float * (before -> 1)::float;
    before := corner;
  end loop;
  return abs(area) > 1;
end $$;

-- are_wet reports whether a room's baths and showers are such, each with its outline.
create function are_wet(all_wet jsonb) returns boolean
language plpgsql immutable set search_path = public, pg_temp as $$
begin
  if jsonb_typeof(all_wet) <> 'array' then
    return false;
  end if;
  return not exists (select from jsonb_array_elements(all_wet) w
    where jsonb_typeof(w) <> 'object' or coalesce(w ->> 'kind' not in ('bath', 'shower'), true)
      or not coalesce(is_outline(w -> 'outline'), false));
end $$;

-- What nobody can read is not written: a time or a figure that is none, an outline that is
-- none, a name that holds what cannot be shown. A rule that old rows break is there for
-- what comes, and is left unchecked for them.
create function add_rule(of text, named text, rule text) returns void
language plpgsql set search_path = public, pg_temp as $$
declare
  called text := of || '_' || named || '_can_be_read';
begin
  execute format('alter table %I add constraint %I check (%s) not valid', of, called, rule);
  execute format('alter table %I validate constraint %I', of, called);
exception when check_violation then
  execute format('alter table %I add constraint %I check (%s) not valid', of, called, rule);
  raise warning 'old rows of % break what holds for % from now on', of, named;
end $$;
do $$
declare
  c record;
begin
  for c in select t.relname::text as rel, a.attname::text as col, format_type(a.atttypid, a.atttypmod) as type
      from pg_class t join pg_attribute a on a.attrelid = t.oid
     where t.relnamespace = 'public'::regnamespace and t.relkind = 'r' and a.attnum > 0 and not a.attisdropped
       and t.relname <> 'schema_migrations' order by t.relname, a.attnum
  loop
    case
      when (c.rel, c.col) = ('act', 'made_at') then -- by the phone's clock, right or wrong
        perform add_rule(c.rel, c.col, format('%I between %L and %L', c.col, '0001-01-01',
          '9999-12-31 23:59:59.999999Z'));
      when c.type in ('timestamp with time zone', 'date') then
        perform add_rule(c.rel, c.col, format('%I between %L and %L', c.col, '1900-01-01', '2199-12-30'));
      when c.type = 'double precision' then -- NaN is more than any other
        perform add_rule(c.rel, c.col, format('%I between -1e6 and 1e6', c.col));
      when c.col = 'outline' then
        perform add_rule(c.rel, c.col, 'is_outline(outline)');
      when c.col = 'wet' then
        perform add_rule(c.rel, c.col, 'are_wet(wet)');
      when (c.rel, c.col) in (('act', 'deed'), ('act', 'clash'), ('sign_off', 'room_sheet'),
          ('sign_off', 'evidence')) then
        perform add_rule(c.rel, c.col, format('json_typeof(%I) = %L', c.col, 'object'));
      when (c.rel, c.col) = ('diary', 'detail') then -- those of the first year may be lists
        perform add_rule(c.rel, c.col, 'json_typeof(detail) in (''object'', ''array'')');
      when (c.rel, c.col) in (('act', 'fields'), ('sign_off', 'accepted')) then
        perform add_rule(c.rel, c.col, format('json_typeof(%I) in (%L, %L)', c.col, 'array', 'null'));
      when c.type = 'text' and c.col = 'name' then
        perform add_rule(c.rel, c.col, format('%I !~ %L', c.col, '[\x01-\x1f\x7f]'));
      else
    end case;
  end loop;
end $$;
drop function add_rule(text, text, text);
