-- A page of a session asks for its sets alone; without this every set of the client would be read for them.
CREATE INDEX standing_sets_by_session ON standing (json_extract(state, '$.set.session'), at_ms, id) WHERE kind = 'set';
