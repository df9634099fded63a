-- Every named rule, broken once; and no rule without a line here.
BEGIN;
SET search_path = morrowloaf, public;
\ir fixture.sql

-- The name of the rule that a command breaks; null: none.
CREATE FUNCTION pg_temp.broken_by(command text) RETURNS text LANGUAGE plpgsql AS $$
DECLARE
    rule text;
BEGIN
    EXECUTE command;
    SET CONSTRAINTS ALL IMMEDIATE;
    RETURN NULL;
EXCEPTION WHEN integrity_constraint_violation THEN
    GET STACKED DIAGNOSTICS rule = CONSTRAINT_NAME;
    RETURN rule;
END $$;

CREATE TEMP TABLE cases (rule text, command text);
INSERT INTO cases VALUES
    ('access_token_name', $$INSERT INTO access_token (bakery_id, digest, name, role) VALUES (1, 'x', 'till', 'baker')$$),
    ('bakery_currency_form', $$UPDATE bakery SET currency = 'eur' WHERE bakery_id = 1$$),
    ('bakery_entered_whole', $$UPDATE bakery SET name = 'Half' WHERE bakery_id = 2$$),
    ('bakery_scale_positive', $$UPDATE bakery SET scale_mg = 0$$),
    ('clock_range', $$UPDATE customer SET ready_at = 1440$$),
    ('clock_range', $$UPDATE customer SET ready_at = -1$$),
    ('code_form', $$INSERT INTO supplier (bakery_id, code, name) VALUES (1, 'Mill', 'x')$$),
    ('code_form', $$INSERT INTO supplier (bakery_id, code, name) VALUES (1, '-mill', 'x')$$),
    ('code_form', $$INSERT INTO supplier (bakery_id, code, name) VALUES (1, '', 'x')$$),
    ('code_form', $$INSERT INTO supplier (bakery_id, code, name) VALUES (1, E'mill\n', 'x')$$),
    ('code_form', $$INSERT INTO supplier (bakery_id, code, name) VALUES (1, repeat('m', 64), 'x')$$),
    ('customer_of_bakery', $$INSERT INTO customer (bakery_id, code, name) VALUES (9, 'x', 'x')$$),
    ('flour_of_starter', $$UPDATE starter_flour SET starter = 'none'$$),
    ('formula_basis', $$UPDATE formula SET basis = 'half'$$),
    ('formula_line_flour_pct_positive', $$UPDATE formula_line SET pct = NULL, flour_pct = 0$$),
    ('formula_line_ingredient', $$UPDATE formula_line SET ingredient = 'none' WHERE ingredient = 'rye'$$),
    ('formula_line_not_itself', $$UPDATE formula_line SET part = 'dough' WHERE part = 'soaker'$$),
    ('formula_line_one_percentage', $$UPDATE formula_line SET flour_pct = 1$$),
    ('formula_line_one_percentage', $$UPDATE formula_line SET pct = NULL$$),
    ('formula_line_one_thing', $$UPDATE formula_line SET ingredient = 'rye', starter = 'sour'$$),
    ('formula_line_one_thing', $$UPDATE formula_line SET ingredient = NULL$$),
    ('formula_line_part', $$UPDATE formula_line SET part = 'none' WHERE part = 'soaker'$$),
    ('formula_line_pct_positive', $$UPDATE formula_line SET pct = 0$$),
    ('formula_line_starter', $$UPDATE formula_line SET starter = 'none' WHERE starter = 'sour'$$),
    ('formula_loss_below_all', $$UPDATE formula SET handling_loss_pct = 1000000$$),
    ('formula_mixer', $$UPDATE formula SET mixer = 'none'$$),
    ('formula_of_bakery', $$INSERT INTO formula (bakery_id, code, name, basis) VALUES (9, 'x', 'x', 'final')$$),
    ('formula_one_way_of_mixing', $$UPDATE formula SET by_hand = true WHERE mixer IS NOT NULL$$),
    ('formula_stage_not_backwards', $$UPDATE formula_stage SET minutes = -1$$),
    ('history_of_bakery', $$INSERT INTO history (bakery_id, kind, code, revision, actor) VALUES (9, 'x', 'x', 1, 'x')$$),
    ('idempotency_of_bakery', $$INSERT INTO idempotency (bakery_id, key, digest) VALUES (9, 'x', 'x')$$),
    ('ingredient_kind', $$UPDATE ingredient SET kind = 'gravel'$$),
    ('ingredient_of_bakery', $$INSERT INTO ingredient (bakery_id, code, name, kind, unit) VALUES (9, 'x', 'x', 'salt', 'g')$$),
    ('ingredient_unit', $$UPDATE ingredient SET unit = 'ml'$$),
    ('ingredient_water_share', $$UPDATE ingredient SET water_pct = 1000001$$),
    ('line_of_formula', $$UPDATE formula_line SET formula = 'none' WHERE formula = 'soaker'$$),
    ('line_of_order', $$UPDATE order_line SET order_id = 42$$),
    ('mixer_of_bakery', $$INSERT INTO mixer (bakery_id, code, position, min_mg, max_mg) VALUES (9, 'x', 0, 0, 1)$$),
    ('mixer_range', $$UPDATE mixer SET min_mg = max_mg + 1$$),
    ('mixer_range', $$UPDATE mixer SET min_mg = 0, max_mg = 0$$),
    ('mixing_print_replaces_earlier', $$UPDATE mixing_print SET replaces = number$$),
    ('order_from_customer', $$UPDATE customer_order SET customer = 'none'$$),
    ('order_line_pieces', $$UPDATE order_line SET pieces = 0$$),
    ('order_line_pieces', $$UPDATE order_line SET pieces = 1000001$$),
    ('order_line_product', $$UPDATE order_line SET product = 'none'$$),
    ('order_of_bakery', $$INSERT INTO customer_order (bakery_id, customer, bread_day, placed_by)
                          VALUES (9, 'cafe', '2026-03-28', 'x')$$),
    ('packaging_of_product', $$UPDATE product_packaging SET product = 'none'$$),
    ('part_of_product', $$UPDATE product_part SET product = 'none'$$),
    ('percent_not_negative', $$UPDATE product SET spare_pct = -1$$),
    ('person_name_form', $$UPDATE person SET name = 'Ann Lee'$$),
    ('person_of_bakery', $$INSERT INTO person (bakery_id, name, role, password_hash) VALUES (9, 'x', 'baker', 'x')$$),
    ('person_role', $$UPDATE person SET role = 'king'$$),
    ('price_from_supplier', $$UPDATE ingredient_price SET supplier = 'none'$$),
    ('price_not_negative', $$UPDATE ingredient_price SET price_micros = -1$$),
    ('price_of_ingredient', $$UPDATE ingredient_price SET ingredient = 'none' WHERE ingredient = 'rye'$$),
    ('price_one_pack', $$UPDATE ingredient_price SET pack_pieces = 1$$),
    ('price_one_pack', $$UPDATE ingredient_price SET pack_mg = NULL$$),
    ('price_pack_holds', $$UPDATE ingredient_price SET pack_mg = NULL, pack_pieces = 0$$),
    ('price_pack_weighs', $$UPDATE ingredient_price SET pack_mg = 0$$),
    ('print_of_bakery', $$INSERT INTO mixing_print (bakery_id, mixing_date, number, printed_by, body)
                          VALUES (9, '2026-03-27', 1, 'x', '{}')$$),
    ('product_loss_below_all', $$UPDATE product SET bake_loss_pct = 1000000$$),
    ('product_of_bakery', $$INSERT INTO product (bakery_id, code, name, piece_mg) VALUES (9, 'x', 'x', 1)$$),
    ('product_packaging_counts', $$UPDATE product_packaging SET pieces = 0$$),
    ('product_packaging_ingredient', $$UPDATE product_packaging SET ingredient = 'none'$$),
    ('product_part_formula', $$UPDATE product_part SET formula = 'none' WHERE formula = 'dough'$$),
    ('product_part_ingredient', $$UPDATE product_part SET ingredient = 'none' WHERE ingredient = 'rye'$$),
    ('product_part_one_thing', $$UPDATE product_part SET ingredient = 'rye', formula = 'dough'$$),
    ('product_part_weighs', $$UPDATE product_part SET mg = 0$$),
    ('product_weighs', $$UPDATE product SET piece_mg = 0$$),
    ('session_of_person', $$UPDATE web_session SET person = 'none'$$),
    ('stage_of_formula', $$UPDATE formula_stage SET formula = 'none'$$),
    ('starter_flour_ingredient', $$UPDATE starter_flour SET ingredient = 'none'$$),
    ('starter_flour_positive', $$UPDATE starter_flour SET pct = 0$$),
    ('starter_of_bakery', $$INSERT INTO starter (bakery_id, code, name, hydration_pct, water) VALUES (9, 'x', 'x', 1, 'water')$$),
    ('starter_water', $$UPDATE starter SET water = 'none'$$),
    ('supplier_of_bakery', $$INSERT INTO supplier (bakery_id, code, name) VALUES (9, 'x', 'x')$$),
    ('token_of_bakery', $$INSERT INTO access_token (bakery_id, digest, name, role) VALUES (9, 'x', 'x', 'baker')$$),
    ('token_role', $$UPDATE access_token SET role = 'king'$$),
    ('weight_not_negative', $$UPDATE starter SET keep_mg = -1$$);

SELECT plan((SELECT count(*) FROM cases)::integer + 1);
SELECT is(pg_temp.broken_by(command), rule, rule || ': ' || command) FROM cases;
SELECT set_eq('SELECT rule FROM cases',
              $$ SELECT conname::text FROM pg_constraint
                  WHERE connamespace = 'morrowloaf'::regnamespace AND contype IN ('c', 'f', 'u', 'x') $$,
              'every rule of the schema is broken here');
SELECT * FROM finish();
ROLLBACK;
