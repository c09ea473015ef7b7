-- The ledger only grows.

CREATE FUNCTION ledger_stays() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION 'the ledger only grows: an entry is never changed or removed';
END
$$;

CREATE TRIGGER ledger_no_update_or_delete BEFORE UPDATE OR DELETE ON ledger
FOR EACH ROW EXECUTE FUNCTION ledger_stays();

CREATE TRIGGER ledger_no_truncate BEFORE TRUNCATE ON ledger
FOR EACH STATEMENT EXECUTE FUNCTION ledger_stays();
