alter table datum drop column wall;
alter table surface drop column wall;
