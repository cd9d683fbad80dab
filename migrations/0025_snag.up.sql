-- A snag is given to a trade or to one person, by a day; it is put right by them, and then
-- looked at and closed. What was noted before is given to nobody.
alter table snag
  add column person uuid,
  add column due_on date,
  add column done_by uuid,
  add column done_at timestamptz,
  add foreign key (firm_id, person) references member,
  add foreign key (firm_id, done_by) references member,
  add constraint snag_due_on_can_be_read check (due_on between '1900-01-01' and '2199-12-30'),
  add constraint snag_done_at_can_be_read check (done_at between '1900-01-01' and '2199-12-30'),
  add constraint snag_done_after_noted check (done_at >= noted_at);
alter table snag add unique (firm_id, room_id, id);

-- A photo may show a snag.
alter table photo add column snag_id uuid,
  add foreign key (firm_id, room_id, snag_id) references snag (firm_id, room_id, id);
alter table photo drop constraint photo_check;
alter table photo add constraint photo_check check (num_nonnulls(surface_id, datum_id, position_id, snag_id) <= 1);
