DROP TABLE cruise_withdrawal;
DROP TABLE cruise;
