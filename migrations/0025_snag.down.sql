-- Loses who puts a snag right, by which day, and that it waits to be looked at.
-- Photos of snags are of their stage again.
alter table photo drop constraint photo_check;
alter table photo drop column snag_id;
alter table photo add constraint photo_check check (num_nonnulls(surface_id, datum_id, position_id) <= 1);
alter table snag drop constraint snag_firm_id_room_id_id_key;
alter table snag drop column person, drop column due_on, drop column done_by, drop column done_at;
