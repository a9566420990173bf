DROP TABLE outfit;
