DROP VIEW scaled_piece;
DROP VIEW open_unpriced;
DROP VIEW standing_derivation;
DROP TABLE set_aside;
DROP TABLE unpriced;
DROP TABLE accrual;
DROP TABLE derivation;
