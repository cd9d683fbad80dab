-- A photo shows a surface, a face, a position, or else the stage as a whole.
-- Its picture lies outside the database, under its SHA-256; without one the
-- row is a note of where a photo is kept, as all were before.
alter table datum add unique (firm_id, room_id, id);
create table photo (
  firm_id     uuid not null references firm,
  id          uuid not null,
  room_id     uuid not null,
  -- in hand when it was put on record: freezes it
  stage       text not null check (stage in ('first_fix', 'boarding', 'plaster', 'second_fix', 'decoration')),
  surface_id  uuid,
  datum_id    uuid,
  position_id uuid,
  says        text not null default '' check (length(says) <= 400),
  taken_by    uuid,
  taken_at    timestamptz not null,
  recorded_at timestamptz not null,
  sha256      bytea check (length(sha256) = 32),
  media_type  text check (media_type = 'image/jpeg'),
  width       int check (width between 1 and 2560),
  height      int check (height between 1 and 2560),
  bytes       bigint check (bytes between 1 and 15728640),
  struck_by   uuid,
  struck_at   timestamptz,
  struck_why  text not null default '' check (length(struck_why) <= 400),
  primary key (firm_id, id),
  foreign key (firm_id, room_id) references room,
  foreign key (firm_id, room_id, surface_id) references surface (firm_id, room_id, id),
  foreign key (firm_id, room_id, datum_id) references datum (firm_id, room_id, id),
  foreign key (firm_id, room_id, position_id) references position (firm_id, room_id, id),
  foreign key (firm_id, taken_by) references member,
  foreign key (firm_id, struck_by) references member,
  check (num_nonnulls(surface_id, datum_id, position_id) <= 1),
  check (num_nonnulls(sha256, media_type, width, height, bytes) in (0, 5)),
  check ((struck_at is not null) = (struck_why ~ '\S'))
);
create index photo_room on photo (firm_id, room_id);
create index photo_picture on photo (firm_id, sha256);

-- What was noted before was of surfaces while they were open.
alter table photo_note no force row level security;
insert into photo (firm_id, id, room_id, stage, surface_id, says, taken_by, taken_at, recorded_at)
  select firm_id, id, room_id, 'boarding', surface_id, says, taken_by, taken_at, taken_at from photo_note;
drop table photo_note;

-- Frozen with its stage. It is struck out, never changed and never taken out.
create trigger guard before insert or update or delete on photo
  for each row execute function guard_record('own');
create trigger never_all before truncate on photo execute function never_changed();

-- One firm's rows only, as on every other table.
alter table photo enable row level security;
alter table photo force row level security;
create policy own_firm on photo
  using (firm_id = nullif(current_setting('lathmark.firm', true), '')::uuid)
  with check (firm_id = nullif(current_setting('lathmark.firm', true), '')::uuid);
select limit_to_jobs('photo');
grant select, insert, update (struck_by, struck_at, struck_why) on photo to lathmark_server;
