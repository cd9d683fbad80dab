-- Loses what rooms are used for.
alter table room drop column use;
