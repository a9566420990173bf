DROP TABLE terms;
DROP TABLE contract;
