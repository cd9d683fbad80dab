drop table invitation_job, invitation;
