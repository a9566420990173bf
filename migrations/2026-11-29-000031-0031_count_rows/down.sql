DROP FUNCTION count_rows();
