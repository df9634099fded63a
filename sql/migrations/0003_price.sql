-- What a loaf costs and must sell for: rates of labour, energy, overhead and delivery, what stages and
-- machines use of them, price lists and the prices in them.

ALTER TABLE mixer ADD COLUMN power_w bigint NOT NULL DEFAULT 0 CONSTRAINT mixer_power CHECK (power_w >= 0);
ALTER TABLE oven ADD COLUMN power_w bigint NOT NULL DEFAULT 0 CONSTRAINT oven_power CHECK (power_w >= 0);
COMMENT ON COLUMN oven.power_w IS 'Watts of one deck on average while it heats and bakes; 0: not known';

ALTER TABLE formula_stage
    ADD COLUMN labour_per text CONSTRAINT formula_stage_labour_per CHECK (labour_per IN ('mix', 'batch', 'piece', 'load')),
    ADD COLUMN labour_minutes bigint CONSTRAINT formula_stage_labour CHECK (labour_minutes >= 0),
    ADD CONSTRAINT formula_stage_labour_whole CHECK (num_nulls(labour_per, labour_minutes) IN (0, 2));
COMMENT ON COLUMN formula_stage.labour_minutes IS
    '1/10,000 minutes of one pair of hands; null: minutes x hands of every batch, from the oven on of every load';

ALTER TABLE product
    ADD COLUMN labour_minutes bigint NOT NULL DEFAULT 0 CONSTRAINT product_labour CHECK (labour_minutes >= 0),
    ADD COLUMN unsold_pct percent NOT NULL DEFAULT 0 CONSTRAINT product_unsold_below_all CHECK (unsold_pct < 1000000);

-- Apart from the product, which bakers may replace without seeing what it earns.
CREATE TABLE product_pricing (
    bakery_id bigint NOT NULL,
    product code NOT NULL,
    revision bigint NOT NULL DEFAULT nextval('revision_number'),
    tax_pct percent NOT NULL,
    target text CONSTRAINT product_pricing_target CHECK (target IN ('margin', 'markup', 'ingredient_share')),
    target_pct percent,
    CONSTRAINT product_pricing_pkey PRIMARY KEY (bakery_id, product),
    CONSTRAINT pricing_of_product FOREIGN KEY (bakery_id, product) REFERENCES product ON DELETE CASCADE,
    CONSTRAINT product_pricing_whole CHECK (num_nulls(target, target_pct) IN (0, 2))
);
COMMENT ON TABLE product_pricing IS 'Tax of a product, and what its price is worked out from';

CREATE TABLE rates (
    bakery_id bigint NOT NULL CONSTRAINT rates_of_bakery REFERENCES bakery,
    from_date date NOT NULL,
    revision bigint NOT NULL DEFAULT nextval('revision_number'),
    hand_hour_micros bigint CONSTRAINT rates_hand_hour CHECK (hand_hour_micros >= 0),
    kwh_micros bigint CONSTRAINT rates_kwh CHECK (kwh_micros >= 0),
    overhead_month_micros bigint CONSTRAINT rates_overhead CHECK (overhead_month_micros >= 0),
    overhead_by text NOT NULL CONSTRAINT rates_overhead_by CHECK (overhead_by IN ('minutes', 'pieces')),
    overhead_base bigint CONSTRAINT rates_overhead_base CHECK (overhead_base > 0),
    round_micros bigint CONSTRAINT rates_round CHECK (round_micros >= 0),
    round_pieces bigint CONSTRAINT rates_round_pieces CHECK (round_pieces > 0),
    CONSTRAINT rates_pkey PRIMARY KEY (bakery_id, from_date),
    CONSTRAINT rates_overhead_whole CHECK (num_nulls(overhead_month_micros, overhead_base) IN (0, 2)),
    CONSTRAINT rates_round_whole CHECK (num_nulls(round_micros, round_pieces) IN (0, 2))
);
COMMENT ON TABLE rates IS 'What labour, energy, overhead and delivery cost from a date on; the past keeps its rates';

CREATE TABLE price_list (
    bakery_id bigint NOT NULL CONSTRAINT price_list_of_bakery REFERENCES bakery,
    code code NOT NULL,
    revision bigint NOT NULL DEFAULT nextval('revision_number'),
    name text NOT NULL,
    with_tax boolean NOT NULL,
    step_micros bigint CONSTRAINT price_list_step CHECK (step_micros > 0),
    ending_micros bigint CONSTRAINT price_list_ending CHECK (ending_micros >= 0 AND ending_micros < step_micros),
    note text,
    CONSTRAINT price_list_pkey PRIMARY KEY (bakery_id, code)
);
COMMENT ON TABLE price_list IS 'Prices for one kind of customer, with how they are rounded';
COMMENT ON COLUMN price_list.ending_micros IS 'Prices are ending + a multiple of step: 0.95 of every 1.00, or 0 of every 0.05';

CREATE TABLE product_price (
    bakery_id bigint NOT NULL,
    price_list code NOT NULL,
    product code NOT NULL,
    from_date date NOT NULL,
    revision bigint NOT NULL DEFAULT nextval('revision_number'),
    CONSTRAINT product_price_pkey PRIMARY KEY (bakery_id, price_list, product, from_date),
    CONSTRAINT price_in_list FOREIGN KEY (bakery_id, price_list) REFERENCES price_list,
    CONSTRAINT price_of_product FOREIGN KEY (bakery_id, product) REFERENCES product ON DELETE CASCADE
);
CREATE INDEX product_price_product ON product_price (bakery_id, product);
COMMENT ON TABLE product_price IS 'That a product has prices in a list from a date on';

CREATE TABLE product_price_break (
    bakery_id bigint NOT NULL,
    price_list code NOT NULL,
    product code NOT NULL,
    from_date date NOT NULL,
    from_pieces integer NOT NULL CONSTRAINT price_break_pieces CHECK (from_pieces > 0),
    price_micros bigint NOT NULL CONSTRAINT price_break_positive CHECK (price_micros > 0),
    CONSTRAINT product_price_break_pkey PRIMARY KEY (bakery_id, price_list, product, from_date, from_pieces),
    CONSTRAINT break_of_price FOREIGN KEY (bakery_id, price_list, product, from_date)
        REFERENCES product_price ON DELETE CASCADE
);
COMMENT ON TABLE product_price_break IS 'The price of a piece from so many pieces of an order on';

ALTER TABLE customer
    ADD COLUMN price_list code,
    ADD CONSTRAINT customer_price_list FOREIGN KEY (bakery_id, price_list) REFERENCES price_list;
CREATE INDEX customer_price_list_used ON customer (bakery_id, price_list);

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
    UNION SELECT bakery_id, 'product', product, 'order', order_id::text FROM order_line
    UNION SELECT bakery_id, 'price_list', price_list, 'customer', code FROM customer WHERE price_list IS NOT NULL
    UNION SELECT bakery_id, 'price_list', price_list, 'price of', product || ' from ' || from_date FROM product_price;

DO $$
DECLARE
    t text;
BEGIN
    FOREACH t IN ARRAY ARRAY['rates', 'price_list', 'product_pricing', 'product_price', 'product_price_break'] LOOP
        EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', t);
        EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', t);
        EXECUTE format('CREATE POLICY own_bakery ON %I USING (bakery_id = current_bakery()) '
                       'WITH CHECK (bakery_id = current_bakery())', t);
        EXECUTE format('GRANT SELECT, INSERT, UPDATE, DELETE ON %I TO morrowloaf_app', t);
    END LOOP;
END
$$;
CREATE TRIGGER catalogue_changed AFTER INSERT OR UPDATE OR DELETE OR TRUNCATE ON product_pricing
    FOR EACH STATEMENT EXECUTE FUNCTION catalogue_changed();
