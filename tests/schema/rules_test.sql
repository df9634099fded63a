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
    ('bake_step_of_product', $$UPDATE product_bake_step SET product = 'none'$$),
    ('bake_step_takes_time', $$UPDATE product_bake_step SET minutes = 0$$),
    ('bakery_feeding_hours', $$UPDATE bakery SET feed_from = 360$$),
    ('bakery_feeding_hours', $$UPDATE bakery SET feed_to = 1320$$),
    ('bakery_scale_positive', $$UPDATE bakery SET scale_mg = 0$$),
    ('clock_range', $$UPDATE customer SET ready_at = 1440$$),
    ('clock_range', $$UPDATE customer SET ready_at = -1$$),
    ('code_form', $$INSERT INTO supplier (bakery_id, code, name) VALUES (1, 'Mill', 'x')$$),
    ('code_form', $$INSERT INTO supplier (bakery_id, code, name) VALUES (1, '-mill', 'x')$$),
    ('code_form', $$INSERT INTO supplier (bakery_id, code, name) VALUES (1, '', 'x')$$),
    ('code_form', $$INSERT INTO supplier (bakery_id, code, name) VALUES (1, E'mill\n', 'x')$$),
    ('code_form', $$INSERT INTO supplier (bakery_id, code, name) VALUES (1, repeat('m', 64), 'x')$$),
    ('customer_of_bakery', $$INSERT INTO customer (bakery_id, code, name) VALUES (9, 'x', 'x')$$),
    ('dough_temperature_of_bakery', $$INSERT INTO dough_temperature (bakery_id, at, entered_by, formula, mixer, dough_c, water_c, flour_c,
                                       room_c, friction_c) VALUES (9, now(), 'x', 'x', 'x', 1, 1, 1, 1, 1)$$),
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
    ('formula_stage_most', $$UPDATE formula_stage SET most_minutes = minutes - 1$$),
    ('formula_stage_not_backwards', $$UPDATE formula_stage SET minutes = -1$$),
    ('formula_stage_uses', $$UPDATE formula_stage SET uses = 'hearth'$$),
    ('history_of_bakery', $$INSERT INTO history (bakery_id, kind, code, revision, actor) VALUES (9, 'x', 'x', 1, 'x')$$),
    ('idempotency_of_bakery', $$INSERT INTO idempotency (bakery_id, key, digest) VALUES (9, 'x', 'x')$$),
    ('ingredient_kind', $$UPDATE ingredient SET kind = 'gravel'$$),
    ('ingredient_of_bakery', $$INSERT INTO ingredient (bakery_id, code, name, kind, unit) VALUES (9, 'x', 'x', 'salt', 'g')$$),
    ('ingredient_unit', $$UPDATE ingredient SET unit = 'ml'$$),
    ('ingredient_water_share', $$UPDATE ingredient SET water_pct = 1000001$$),
    ('line_of_formula', $$UPDATE formula_line SET formula = 'none' WHERE formula = 'soaker'$$),
    ('line_of_order', $$UPDATE order_line SET order_id = 42$$),
    ('log_of_starter', $$INSERT INTO starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg, on_hand_mg)
                         VALUES (1, 'none', 1, 'begun', now(), 'x', 0, 0)$$),
    ('minutes_not_negative', $$UPDATE oven SET recovery_minutes = -1$$),
    ('mixer_of_bakery', $$INSERT INTO mixer (bakery_id, code, position, min_mg, max_mg) VALUES (9, 'x', 0, 0, 1)$$),
    ('mixer_range', $$UPDATE mixer SET min_mg = max_mg + 1$$),
    ('mixer_range', $$UPDATE mixer SET min_mg = 0, max_mg = 0$$),
    ('mixing_print_replaces_earlier', $$UPDATE mixing_print SET replaces = number$$),
    ('move_of_day', $$UPDATE timetable_move SET bread_day = '2026-03-29'$$),
    ('moves_of_bakery', $$INSERT INTO timetable_moves (bakery_id, bread_day) VALUES (9, '2026-03-28')$$),
    ('order_from_customer', $$UPDATE customer_order SET customer = 'none'$$),
    ('order_line_pieces', $$UPDATE order_line SET pieces = 0$$),
    ('order_line_pieces', $$UPDATE order_line SET pieces = 1000001$$),
    ('order_line_product', $$UPDATE order_line SET product = 'none'$$),
    ('order_of_bakery', $$INSERT INTO customer_order (bakery_id, customer, bread_day, placed_by)
                          VALUES (9, 'cafe', '2026-03-28', 'x')$$),
    ('oven_has_decks', $$UPDATE oven SET decks = 0$$),
    ('oven_has_places', $$UPDATE oven SET places = 0$$),
    ('oven_of_bakery', $$INSERT INTO oven (bakery_id, code, position, decks, places, preheat_minutes, recovery_minutes)
                         VALUES (9, 'x', 0, 1, 1, 0, 0)$$),
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
    ('product_per_place', $$UPDATE product SET per_place = 0$$),
    ('product_weighs', $$UPDATE product SET piece_mg = 0$$),
    ('ripening_has_flour', $$UPDATE starter_ripening SET flour = 0$$),
    ('ripening_has_seed', $$UPDATE starter_ripening SET seed = 0$$),
    ('ripening_of_starter', $$UPDATE starter_ripening SET starter = 'none'$$),
    ('ripening_takes_time', $$UPDATE starter_ripening SET minutes = 0$$),
    ('session_of_person', $$UPDATE web_session SET person = 'none'$$),
    ('shift_has_days', $$UPDATE shift SET days = 0$$),
    ('shift_has_days', $$UPDATE shift SET days = 3$$),
    ('shift_has_days', $$UPDATE shift SET days = 256$$),
    ('shift_has_hands', $$UPDATE shift SET hands = 0$$),
    ('shift_of_bakery', $$INSERT INTO shift (bakery_id, position, days, begins, ends, hands) VALUES (9, 0, 2, 0, 1, 1)$$),
    ('stage_of_formula', $$UPDATE formula_stage SET formula = 'none'$$),
    ('starter_flour_ingredient', $$UPDATE starter_flour SET ingredient = 'none'$$),
    ('starter_flour_positive', $$UPDATE starter_flour SET pct = 0$$),
    ('starter_log_feed_whole', $$UPDATE starter_log SET water_mg = NULL WHERE kind = 'fed'$$),
    ('starter_log_feed_whole', $$UPDATE starter_log SET seed_mg = 1, flour_mg = 1, water_mg = 1 WHERE kind = 'taken'$$),
    ('starter_log_feed_whole', $$UPDATE starter_log SET flour_mg = 1 WHERE kind = 'taken'$$),
    ('starter_log_kind', $$UPDATE starter_log SET kind = 'eaten' WHERE kind = 'taken'$$),
    ('starter_log_numbered', $$UPDATE starter_log SET number = 0 WHERE number = 1$$),
    ('starter_log_reversed_once', $$INSERT INTO starter_log (bakery_id, starter, number, kind, at, entered_by, delta_mg, on_hand_mg, reverses)
                                    VALUES (1, 'levain', 5, 'reversed', now(), 'ann', 0, 0, 3)$$),
    ('starter_log_reverses', $$UPDATE starter_log SET reverses = -1 WHERE number = 4$$),
    ('starter_log_reverses_earlier', $$UPDATE starter_log SET reverses = 4 WHERE number = 4$$),
    ('starter_log_reverses_earlier', $$UPDATE starter_log SET reverses = NULL WHERE number = 4$$),
    ('starter_log_reverses_earlier', $$UPDATE starter_log SET reverses = 1 WHERE number = 2$$),
    ('starter_of_bakery', $$INSERT INTO starter (bakery_id, code, name, hydration_pct, water) VALUES (9, 'x', 'x', 1, 'water')$$),
    ('starter_rests_for_days', $$UPDATE starter SET rest_feed_days = 0$$),
    ('starter_wakes_by_feeds', $$UPDATE starter SET wake_feeds = 0$$),
    ('starter_water', $$UPDATE starter SET water = 'none'$$),
    ('supplier_of_bakery', $$INSERT INTO supplier (bakery_id, code, name) VALUES (9, 'x', 'x')$$),
    ('temperatures_of_bakery', $$INSERT INTO night_temperatures (bakery_id, mixing_date) VALUES (9, '2026-03-27')$$),
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
