DROP TABLE turn_count;
