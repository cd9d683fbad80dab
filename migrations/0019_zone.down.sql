-- Loses the firms' time zones.
drop trigger offered_in_order on gate;
drop trigger in_order on as_built;
drop trigger in_order on finished;
drop trigger in_order on opening;
drop trigger in_order on patch;
drop trigger in_order on snag;
drop function in_order(), refuse_order(boolean, text), stage_before(text), first_signed(uuid, uuid, text);

drop function day_of(uuid, timestamptz);
drop trigger touch_firm on firm;
drop trigger known_zone on firm;
drop trigger known_zone_new on firm;
drop function known_zone();
alter table firm drop column zone;
