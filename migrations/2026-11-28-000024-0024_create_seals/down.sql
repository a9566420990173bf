DROP TABLE seal_leaf;
DROP TABLE seal;
DROP TABLE seal_key;
