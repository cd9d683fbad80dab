-- Loses photos, but for notes of those of surfaces.
-- Photos of surfaces stay as notes. All else about photos has no place here.
create table photo_note (
  firm_id    uuid not null references firm,
  id         uuid not null,
  room_id    uuid not null,
  surface_id uuid not null,
  says       text not null default '' check (length(says) <= 400),
  taken_by   uuid,
  taken_at   timestamptz not null,
  primary key (firm_id, id),
  foreign key (firm_id, room_id, surface_id) references surface (firm_id, room_id, id),
  foreign key (firm_id, taken_by) references member
);
alter table photo no force row level security;
insert into photo_note
  select firm_id, id, room_id, surface_id, says, taken_by, taken_at from photo where surface_id is not null
    and struck_at is null;
drop table photo;
alter table datum drop constraint datum_firm_id_room_id_id_key;
create trigger guard before insert or update or delete on photo_note
  for each row execute function guard_record('boarding');
create trigger never_all before truncate on photo_note execute function never_changed();
alter table photo_note enable row level security;
alter table photo_note force row level security;
create policy own_firm on photo_note
  using (firm_id = nullif(current_setting('lathmark.firm', true), '')::uuid)
  with check (firm_id = nullif(current_setting('lathmark.firm', true), '')::uuid);
select limit_to_jobs('photo_note');
grant select, insert, update on photo_note to lathmark_server;
