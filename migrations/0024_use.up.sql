-- What a room is used for: the extract that it needs goes by it. Of rooms that are
-- there nobody has said it, and none is guessed from what they are called: '' is
-- not said, as in their diaries.
alter table room add column use text not null default ''
  check (use in ('', 'bathroom', 'shower_room', 'wc', 'kitchen', 'utility', 'bedroom', 'living_room', 'hall', 'other'));
