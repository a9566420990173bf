DROP TABLE share;
DROP TABLE share_set;
DROP TABLE crew;
DROP TABLE worker;
