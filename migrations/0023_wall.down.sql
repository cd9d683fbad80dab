-- Loses which wall of the outline a surface or a face is.
-- Readings keep the states that they were told: they are true.
alter table datum drop column wall;
alter table surface drop column wall;
