DROP FUNCTION newest_change();
