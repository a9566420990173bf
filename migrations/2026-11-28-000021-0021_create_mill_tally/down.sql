DROP TABLE mill_tally_withdrawal;
DROP TABLE mill_tally;
