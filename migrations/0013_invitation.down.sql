-- Loses invitations.
drop table invitation_job, invitation;
