-- The ways that cables take through the timbers of a surface: a straight run
-- from one end to the other, with what is cut where it crosses a timber.
create table way (
  firm_id    uuid not null references firm,
  id         uuid not null,
  room_id    uuid not null,
  surface_id uuid not null,
  name       text not null check (name ~ '\S' and length(name) <= 60),
  kind       text not null check (kind in ('hole', 'notch')),
  au double precision not null check (abs(au) <= 100000),
  av double precision not null check (abs(av) <= 100000),
  bu double precision not null check (abs(bu) <= 100000),
  bv double precision not null check (abs(bv) <= 100000),
  -- of a hole its diameter, of a notch its depth
  hole_mm    double precision not null check (hole_mm > 0 and hole_mm <= 2000),
  -- of a hole: its centre above the timber's bottom; null: nobody noted it
  height_mm  double precision check (height_mm > 0 and height_mm <= 2000),
  primary key (firm_id, id),
  unique (firm_id, surface_id, name),
  foreign key (firm_id, room_id, surface_id) references surface (firm_id, room_id, id),
  check (au <> bu or av <> bv),
  check (kind = 'hole' or height_mm is null)
);
create index way_room on way (firm_id, room_id);

-- Frozen with first fix, and nothing takes out all at once.
create trigger guard before insert or update or delete on way
  for each row execute function guard_record('first_fix');
create trigger never_all before truncate on way execute function never_changed();

-- One firm's rows only, as on every other table.
alter table way enable row level security;
alter table way force row level security;
create policy own_firm on way
  using (firm_id = nullif(current_setting('lathmark.firm', true), '')::uuid)
  with check (firm_id = nullif(current_setting('lathmark.firm', true), '')::uuid);
grant select, insert, update, delete on way to lathmark_server;
