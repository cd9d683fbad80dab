-- The name of somebody who left may be taken out of the diary, and nothing
-- else: only where a later entry of the same diary has the hash of the entry as
-- it then stands. That entry is chained, so nobody takes a name out unseen.
create function guard_diary() returns trigger
language plpgsql set search_path = public, pg_temp as $$
begin
  if tg_op = 'UPDATE' and new.who is distinct from old.who
     and (new.firm_id, new.job_id, new.seq, new.at, new.member_id, new.act, new.room_id, new.stage, new.says,
       new.detail::text,
          new.prev, new.hash, new.written_in)
       is not distinct from
         (old.firm_id, old.job_id, old.seq, old.at, old.member_id, old.act, old.room_id, old.stage, old.says,
           old.detail::text,
          old.prev, old.hash, old.written_in)
     and exists (select from member m where m.firm_id = old.firm_id and m.id = old.member_id and m.left_at is not null)
     and exists (select from diary f where f.firm_id = old.firm_id and f.job_id = old.job_id and f.seq > old.seq
       and f.act = 'forget'
       and f.detail ->> 'member' = old.member_id::text and f.detail ->> 'as' = new.who
       and f.detail -> 'entries' ->> old.seq::text = encode(sha256(new.prev || convert_to(diary_line(new), 'UTF8')),
         'hex')) then
    return new;
  end if;
  raise exception using errcode = 'LM004', message = 'What is in diary is never changed and never taken out.';
end $$;
drop trigger never on diary;
create trigger guard before update or delete on diary for each row execute function guard_diary();

-- The server's role still changes nothing in the diary by itself; this runs as
-- the tables' owner, who is bound by the policies and the trigger as well.
create function leave_name_out(firm uuid, job uuid, seq bigint, as_who text) returns boolean
language plpgsql security definer set search_path = public, pg_temp as $$
begin
  update diary d set who = as_who where d.firm_id = firm and d.job_id = job and d.seq = leave_name_out.seq;
  return found;
end $$;
revoke execute on function leave_name_out(uuid, uuid, bigint, text) from public;
grant execute on function leave_name_out(uuid, uuid, bigint, text) to lathmark_server;
create index diary_by_member on diary (firm_id, member_id, job_id, seq);
