-- Loses jobs, their rooms, readings and diaries.
drop table measurement, position, timber, layer, datum, surface, room, diary, client_link, job;
