-- The clock: living starters and their log, how doughs are warmed, baked and kept cold, who is there,
-- and what was moved by hand in a timetable.

CREATE DOMAIN minutes AS bigint CONSTRAINT minutes_not_negative CHECK (VALUE >= 0);

ALTER TABLE bakery
    ADD COLUMN cold_mg weight_mg NOT NULL DEFAULT 0,
    ADD COLUMN feed_from clock,
    ADD COLUMN feed_to clock,
    ADD COLUMN room_c bigint,
    ADD COLUMN flour_c bigint,
    ADD COLUMN tap_c bigint,
    ADD COLUMN preferment_c bigint,
    ADD CONSTRAINT bakery_feeding_hours CHECK (num_nulls(feed_from, feed_to) IN (0, 2));
COMMENT ON COLUMN bakery.cold_mg IS 'Dough that the cold space holds; 0: any amount';
COMMENT ON COLUMN bakery.feed_from IS 'Hours in which somebody can feed a starter; null: any';

ALTER TABLE mixer ADD COLUMN friction_c bigint;
COMMENT ON COLUMN mixer.friction_c IS 'By how many degrees mixing warms a dough; null: not known';

CREATE TABLE oven (
    bakery_id bigint NOT NULL CONSTRAINT oven_of_bakery REFERENCES bakery,
    code code NOT NULL,
    position integer NOT NULL,
    decks integer NOT NULL CONSTRAINT oven_has_decks CHECK (decks > 0),
    places integer NOT NULL CONSTRAINT oven_has_places CHECK (places > 0),
    preheat_minutes minutes NOT NULL,
    recovery_minutes minutes NOT NULL,
    CONSTRAINT oven_pkey PRIMARY KEY (bakery_id, code)
);
COMMENT ON TABLE oven IS 'Ovens: decks that are loaded each by itself, with places for trays';

CREATE TABLE shift (
    bakery_id bigint NOT NULL CONSTRAINT shift_of_bakery REFERENCES bakery,
    position integer NOT NULL,
    name text,
    days integer NOT NULL CONSTRAINT shift_has_days CHECK (days BETWEEN 2 AND 254 AND days % 2 = 0),
    begins clock NOT NULL,
    ends clock NOT NULL,
    hands integer NOT NULL CONSTRAINT shift_has_hands CHECK (hands > 0),
    CONSTRAINT shift_pkey PRIMARY KEY (bakery_id, position)
);
COMMENT ON TABLE shift IS 'When somebody is there to work';
COMMENT ON COLUMN shift.days IS 'Bit 1 (2) Monday to bit 7 (128) Sunday, on which it begins';

ALTER TABLE starter
    ADD COLUMN stays_ripe_minutes minutes NOT NULL DEFAULT 120,
    ADD COLUMN stands_c bigint NOT NULL DEFAULT 240000,
    ADD COLUMN pot_mg weight_mg NOT NULL DEFAULT 0,
    ADD COLUMN feed_within_minutes minutes NOT NULL DEFAULT 1440,
    ADD COLUMN rest_feed_days integer NOT NULL DEFAULT 7
        CONSTRAINT starter_rests_for_days CHECK (rest_feed_days > 0),
    ADD COLUMN wake_feeds integer NOT NULL DEFAULT 2
        CONSTRAINT starter_wakes_by_feeds CHECK (wake_feeds > 0);

CREATE TABLE starter_ripening (
    bakery_id bigint NOT NULL,
    starter code NOT NULL,
    position integer NOT NULL,
    seed percent NOT NULL CONSTRAINT ripening_has_seed CHECK (seed > 0),
    flour percent NOT NULL CONSTRAINT ripening_has_flour CHECK (flour > 0),
    water percent NOT NULL,
    c bigint NOT NULL,
    minutes minutes NOT NULL CONSTRAINT ripening_takes_time CHECK (minutes > 0),
    CONSTRAINT starter_ripening_pkey PRIMARY KEY (bakery_id, starter, position),
    CONSTRAINT ripening_of_starter FOREIGN KEY (bakery_id, starter) REFERENCES starter ON DELETE CASCADE
);
COMMENT ON TABLE starter_ripening IS 'How long a feed of that ratio took to ripen, as its baker has seen it';

-- Entries are numbered in the order of entering, and their times never go back: so the weight on
-- hand after each is final, and nobody has to add up the past.
CREATE TABLE starter_log (
    bakery_id bigint NOT NULL,
    starter code NOT NULL,
    number integer NOT NULL CONSTRAINT starter_log_numbered CHECK (number > 0),
    kind text NOT NULL CONSTRAINT starter_log_kind CHECK
        (kind IN ('begun', 'fed', 'taken', 'discarded', 'weighed', 'chilled', 'woken', 'ripe', 'reversed')),
    at timestamptz NOT NULL,
    entered_at timestamptz NOT NULL DEFAULT now(),
    entered_by text NOT NULL,
    delta_mg bigint NOT NULL,
    on_hand_mg weight_mg NOT NULL,
    seed_mg weight_mg,
    flour_mg weight_mg,
    water_mg weight_mg,
    c bigint,
    reverses integer,
    note text,
    CONSTRAINT starter_log_pkey PRIMARY KEY (bakery_id, starter, number),
    CONSTRAINT log_of_starter FOREIGN KEY (bakery_id, starter) REFERENCES starter,
    CONSTRAINT starter_log_reverses FOREIGN KEY (bakery_id, starter, reverses)
        REFERENCES starter_log (bakery_id, starter, number),
    CONSTRAINT starter_log_reversed_once UNIQUE (bakery_id, starter, reverses),
    CONSTRAINT starter_log_reverses_earlier CHECK ((kind = 'reversed') = (reverses IS NOT NULL) AND reverses < number),
    CONSTRAINT starter_log_feed_whole CHECK
        ((kind = 'fed') = (num_nonnulls(seed_mg, flour_mg, water_mg) = 3)
         AND num_nonnulls(seed_mg, flour_mg, water_mg) IN (0, 3))
);
COMMENT ON TABLE starter_log IS 'What was done to a starter and what was on hand after it: a record, never changed';

ALTER TABLE formula_stage
    ADD COLUMN uses text CONSTRAINT formula_stage_uses CHECK (uses IN ('mixer', 'oven', 'cold')),
    ADD COLUMN most_minutes bigint,
    ADD CONSTRAINT formula_stage_most CHECK (most_minutes >= minutes);
COMMENT ON COLUMN formula_stage.most_minutes IS 'How long it may last when what comes after it has to wait; null: minutes';

ALTER TABLE product ADD COLUMN per_place bigint CONSTRAINT product_per_place CHECK (per_place > 0);
COMMENT ON COLUMN product.per_place IS 'Pieces on one tray, or on the stone of one deck; null: not baked by plan';

CREATE TABLE product_bake_step (
    bakery_id bigint NOT NULL,
    product code NOT NULL,
    position integer NOT NULL,
    c bigint NOT NULL,
    minutes minutes NOT NULL CONSTRAINT bake_step_takes_time CHECK (minutes > 0),
    steam boolean NOT NULL,
    CONSTRAINT product_bake_step_pkey PRIMARY KEY (bakery_id, product, position),
    CONSTRAINT bake_step_of_product FOREIGN KEY (bakery_id, product) REFERENCES product ON DELETE CASCADE
);
COMMENT ON TABLE product_bake_step IS 'How hot and how long a product is baked, step by step';

CREATE TABLE night_temperatures (
    bakery_id bigint NOT NULL CONSTRAINT temperatures_of_bakery REFERENCES bakery,
    mixing_date date NOT NULL,
    revision bigint NOT NULL DEFAULT nextval('revision_number'),
    room_c bigint,
    flour_c bigint,
    tap_c bigint,
    preferment_c bigint,
    CONSTRAINT night_temperatures_pkey PRIMARY KEY (bakery_id, mixing_date)
);
COMMENT ON TABLE night_temperatures IS 'What was measured before mixing on a date; null: as usual';

CREATE TABLE dough_temperature (
    bakery_id bigint NOT NULL CONSTRAINT dough_temperature_of_bakery REFERENCES bakery,
    number bigint GENERATED BY DEFAULT AS IDENTITY,
    at timestamptz NOT NULL,
    entered_by text NOT NULL,
    formula code NOT NULL,
    mixer code NOT NULL,
    dough_c bigint NOT NULL,
    water_c bigint NOT NULL,
    flour_c bigint NOT NULL,
    room_c bigint NOT NULL,
    preferment_c bigint,
    friction_c bigint NOT NULL,
    CONSTRAINT dough_temperature_pkey PRIMARY KEY (bakery_id, number)
);
CREATE INDEX dough_temperature_mixer ON dough_temperature (bakery_id, mixer, number);
COMMENT ON TABLE dough_temperature IS 'How warm a dough came out of the mixer: a record that friction is learnt from';

CREATE TABLE timetable_moves (
    bakery_id bigint NOT NULL CONSTRAINT moves_of_bakery REFERENCES bakery,
    bread_day date NOT NULL,
    revision bigint NOT NULL DEFAULT nextval('revision_number'),
    CONSTRAINT timetable_moves_pkey PRIMARY KEY (bakery_id, bread_day)
);
COMMENT ON TABLE timetable_moves IS 'Whether a bread day''s timetable was moved by hand';

CREATE TABLE timetable_move (
    bakery_id bigint NOT NULL,
    bread_day date NOT NULL,
    task text NOT NULL,
    begins_at timestamptz NOT NULL,
    CONSTRAINT timetable_move_pkey PRIMARY KEY (bakery_id, bread_day, task),
    CONSTRAINT move_of_day FOREIGN KEY (bakery_id, bread_day) REFERENCES timetable_moves ON DELETE CASCADE
);
COMMENT ON TABLE timetable_move IS 'A task that the baker begins at another time than was worked out';

CREATE OR REPLACE VIEW reference WITH (security_invoker = true) AS
    SELECT bakery_id, 'ingredient' AS used_kind, water AS used, 'starter' AS user_kind, code AS user_code FROM starter
    UNION SELECT bakery_id, 'ingredient', ingredient, 'starter', starter FROM starter_flour
    UNION SELECT bakery_id, 'ingredient', ingredient, 'formula', formula FROM formula_line WHERE ingredient IS NOT NULL
    UNION SELECT bakery_id, 'starter', starter, 'formula', formula FROM formula_line WHERE starter IS NOT NULL
    UNION SELECT bakery_id, 'starter', starter, 'log of', starter FROM starter_log
    UNION SELECT bakery_id, 'formula', part, 'formula', formula FROM formula_line WHERE part IS NOT NULL
    UNION SELECT bakery_id, 'mixer', mixer, 'formula', code FROM formula WHERE mixer IS NOT NULL
    UNION SELECT bakery_id, 'ingredient', ingredient, 'product', product FROM product_part WHERE ingredient IS NOT NULL
    UNION SELECT bakery_id, 'formula', formula, 'product', product FROM product_part WHERE formula IS NOT NULL
    UNION SELECT bakery_id, 'ingredient', ingredient, 'product', product FROM product_packaging
    UNION SELECT bakery_id, 'supplier', supplier, 'price of', ingredient || ' from ' || from_date FROM ingredient_price WHERE supplier IS NOT NULL
    UNION SELECT bakery_id, 'customer', customer, 'order', order_id::text FROM customer_order
    UNION SELECT bakery_id, 'product', product, 'order', order_id::text FROM order_line;

-- The catalogue is kept in memory by its number.
DO $$
DECLARE
    t text;
BEGIN
    FOREACH t IN ARRAY ARRAY['oven', 'shift', 'starter_ripening', 'product_bake_step'] LOOP
        EXECUTE format('CREATE TRIGGER catalogue_changed AFTER INSERT OR UPDATE OR DELETE OR TRUNCATE ON %I '
                       'FOR EACH STATEMENT EXECUTE FUNCTION catalogue_changed()', t);
    END LOOP;
    FOREACH t IN ARRAY ARRAY['oven', 'shift', 'starter_ripening', 'starter_log', 'product_bake_step',
                             'night_temperatures', 'dough_temperature', 'timetable_moves', 'timetable_move'] LOOP
        EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', t);
        EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', t);
        EXECUTE format('CREATE POLICY own_bakery ON %I USING (bakery_id = current_bakery()) '
                       'WITH CHECK (bakery_id = current_bakery())', t);
        EXECUTE format('GRANT SELECT, INSERT, UPDATE, DELETE ON %I TO morrowloaf_app', t);
    END LOOP;
END
$$;
REVOKE UPDATE, DELETE ON starter_log, dough_temperature FROM morrowloaf_app;
GRANT USAGE ON SEQUENCE dough_temperature_number_seq TO morrowloaf_app;
DROP TRIGGER catalogue_changed ON bakery;
CREATE TRIGGER catalogue_changed
    AFTER UPDATE OF name, currency, time_zone, ready_at, day_starts_at, scale_mg, small_scale_mg, small_below_mg,
        cold_mg, feed_from, feed_to, room_c, flour_c, tap_c, preferment_c
    ON bakery FOR EACH STATEMENT EXECUTE FUNCTION catalogue_changed();
