-- What came from the phones: each act of a visit once, with the answer that it
-- got, and what was chosen where somebody else wrote about the same thing.
create table act (
  firm_id   uuid not null references firm,
  id        uuid not null,
  room_id   uuid not null,
  member_id uuid not null,
  kind      text not null check (kind in ('measure', 'correct', 'strike', 'see-tails', 'put-on', 'finish', 'open-hole',
              'owe-patch', 'patch-filled', 'patch-dry', 'snag', 'snag-done', 'offer')),
  made_at   timestamptz not null, -- by the phone's clock
  done_at   timestamptz not null, -- that, between the room's drawing and came_at
  came_at   timestamptz not null,
  -- the job's last diary entry in what the person had on the page
  copy_seq  bigint not null check (copy_seq >= 0),
  deed      json not null,
  answer    text not null check (answer in ('kept', 'both', 'refused')),
  says      text not null,
  mine      text not null default '',
  theirs    text not null default '',
  fields    json not null default '[]',
  clash     json,
  choice    text check (choice in ('mine', 'theirs', 'both')),
  chosen_by uuid,
  chosen_at timestamptz,
  primary key (firm_id, id),
  foreign key (firm_id, room_id) references room,
  foreign key (firm_id, member_id) references member,
  foreign key (firm_id, chosen_by) references member,
  check (done_at <= came_at),
  check ((answer = 'both') = (clash is not null)),
  check (choice is null or answer = 'both'),
  check ((choice is null) = (chosen_by is null) and (choice is null) = (chosen_at is null))
);
create index act_open on act (firm_id, room_id) where answer = 'both' and choice is null;

-- An answer is final, but for a refusal: what was refused can be sent again. A
-- choice is made once.
create function guard_act() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_op = 'DELETE' then
    raise exception using errcode = 'LM004', message = 'What came from a phone is never taken out.';
  end if;
  if (new.firm_id, new.id, new.room_id, new.member_id, new.kind)
     is distinct from (old.firm_id, old.id, old.room_id, old.member_id, old.kind) then
    raise exception using errcode = 'LM004', message = 'What came from a phone stays whose and what it was.';
  end if;
  if old.answer <> 'refused' and
     (new.made_at, new.done_at, new.came_at, new.copy_seq, new.deed::text, new.answer, new.says, new.mine, new.theirs,
       new.fields::text, new.clash::text)
     is distinct from
     (old.made_at, old.done_at, old.came_at, old.copy_seq, old.deed::text, old.answer, old.says, old.mine, old.theirs,
       old.fields::text, old.clash::text) then
    raise exception using errcode = 'LM004', message = 'An answer that was given stays as it is.';
  end if;
  if old.choice is not null and (new.choice, new.chosen_by, new.chosen_at) is distinct from (old.choice, old.chosen_by,
    old.chosen_at) then
    raise exception using errcode = 'LM004', message = 'A choice is made once.';
  end if;
  return new;
end $$;
create trigger guard before update or delete on act for each row execute function guard_act();
create trigger never_all before truncate on act execute function never_changed();

-- One firm's rows only, and of the jobs named, as on every other table.
alter table act enable row level security;
alter table act force row level security;
create policy own_firm on act
  using (firm_id = nullif(current_setting('lathmark.firm', true), '')::uuid)
  with check (firm_id = nullif(current_setting('lathmark.firm', true), '')::uuid);
grant select, insert, update on act to lathmark_server;
select limit_to_jobs('act');
