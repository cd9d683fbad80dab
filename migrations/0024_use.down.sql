alter table room drop column use;
