-- Loses who comes when: the firms' weeks and crews, absences, rates, pinned days, promises and what is owed.
drop function every_firm();
drop policy asked_firms on firm;
drop trigger end_crew on member;
drop function end_crew_of();
drop table programme, visit_link, coming, through, owed, promise, pin, rate, away, crew, holiday, week;
drop function guard_promise();
