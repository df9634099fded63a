-- Deleting as the server does it, under row-level security: what belongs to a thing goes with it, what
-- uses it keeps it, and the view of references names the users.
BEGIN;
SET search_path = morrowloaf, public;
\ir fixture.sql
SET ROLE morrowloaf_app;
SELECT set_config('morrowloaf.bakery_id', '1', true);
SELECT plan(35);

SELECT set_eq($$ SELECT used_kind, used::text, user_kind, user_code FROM reference $$,
    $$ VALUES ('ingredient', 'water', 'starter', 'sour'), ('ingredient', 'rye', 'starter', 'sour'),
              ('ingredient', 'rye', 'formula', 'dough'), ('ingredient', 'water', 'formula', 'soaker'),
              ('starter', 'sour', 'formula', 'dough'), ('formula', 'soaker', 'formula', 'dough'),
              ('mixer', 'spiral', 'formula', 'dough'), ('ingredient', 'rye', 'product', 'loaf'),
              ('formula', 'dough', 'product', 'loaf'), ('ingredient', 'bag', 'product', 'loaf'),
              ('supplier', 'mill', 'price of', 'rye from 2026-01-01'), ('customer', 'cafe', 'order', '41'),
              ('product', 'loaf', 'order', '41'), ('ingredient', 'water', 'starter', 'levain'),
              ('starter', 'levain', 'log of', 'levain'), ('price_list', 'trade', 'customer', 'cafe'),
              ('price_list', 'trade', 'price of', 'loaf from 2026-01-01'),
              ('ingredient', 'spelt', 'stock of', 'spelt'), ('supplier', 'carter', 'supply of', 'spelt'),
              ('supplier', 'carter', 'lot', '81'), ('supplier', 'carter', 'purchase order', '61'),
              ('supplier', 'carter', 'delivery', '71'), ('ingredient', 'spelt', 'purchase order', '61'),
              ('ingredient', 'oats', 'purchase order', '61'), ('formula', 'spelt', 'batches of', 'spelt'),
              ('ingredient', 'spelt', 'batch', '73'), ('starter', 'levain', 'batch', '73'),
              ('formula', 'soaker', 'batch', '73'), ('product', 'farl', 'batch', '73') $$,
    'the view names every use');

-- What is used stays.
SELECT throws_like('DELETE FROM ingredient WHERE code = ''water''', '%"starter_water"%', 'water is used');
SELECT throws_like('DELETE FROM starter WHERE code = ''sour''', '%"formula_line_starter"%', 'the starter is used');
SELECT throws_like('DELETE FROM starter WHERE code = ''levain''', '%"log_of_starter"%', 'a starter with a log stays');
SELECT throws_like('DELETE FROM formula WHERE code = ''soaker''', '%"formula_line_part"%', 'the soaker is used');
SELECT throws_like('DELETE FROM formula WHERE code = ''dough''', '%"product_part_formula"%', 'the dough is used');
SELECT throws_like('DELETE FROM mixer', '%"formula_mixer"%', 'the mixer is used');
SELECT throws_like('DELETE FROM supplier', '%"price_from_supplier"%', 'the supplier is used');
SELECT throws_like('DELETE FROM product WHERE code = ''loaf''', '%"order_line_product"%', 'the product is used');
SELECT throws_like('DELETE FROM customer', '%"order_from_customer"%', 'the customer is used');

SELECT throws_like('DELETE FROM ingredient WHERE code = ''spelt''', '%"purchase_order_line_ingredient"%', 'what was ordered stays');
SELECT throws_like('DELETE FROM ingredient WHERE code = ''oats''', '%"purchase_order_line_ingredient"%', 'what was ordered stays');
DELETE FROM purchase_order_line;
SELECT throws_like('DELETE FROM ingredient WHERE code = ''spelt''', '%"stock_of_ingredient"%', 'what stock is kept of stays');
SELECT throws_like('DELETE FROM supplier WHERE code = ''carter''', '%"supply_from_supplier"%', 'a supplier stays of whom something is ordered');
SELECT lives_ok('DELETE FROM supply', 'where something is ordered is forgotten');
SELECT throws_like('DELETE FROM supplier WHERE code = ''carter''', '%"purchase_order_to_supplier"%', 'and so does one who was sent an order');
SELECT throws_like('DELETE FROM formula WHERE code = ''spelt''', '%"batch_of_formula"%', 'a formula that was mixed stays');
SELECT throws_like('DELETE FROM product WHERE code = ''farl''', '%"batch_for_product"%', 'a product that was mixed for stays');

SELECT throws_like('DELETE FROM price_list WHERE code = ''trade''', '%"price_in_list"%', 'a list with a price is used');

-- What belongs to a thing goes with it.
SELECT lives_ok('DELETE FROM price_list WHERE code = ''fair''', 'a price list that nobody has goes');
SELECT lives_ok('DELETE FROM customer_order', 'an order goes');
SELECT is_empty('SELECT * FROM order_line', 'with its lines');
SELECT lives_ok('DELETE FROM product WHERE code = ''loaf''', 'a product that nobody ordered goes');
SELECT is_empty('SELECT 1 FROM product_part UNION SELECT 1 FROM product_packaging UNION SELECT 1 FROM product_bake_step',
    'with its parts, its packaging and its bake');
SELECT is_empty('SELECT 1 FROM product_pricing UNION SELECT 1 FROM product_price UNION SELECT 1 FROM product_price_break',
    'with its target and its prices');
SELECT throws_like('DELETE FROM price_list', '%"customer_price_list"%', 'a list of a customer is used');
UPDATE customer SET price_list = NULL;
SELECT lives_ok('DELETE FROM price_list', 'a list that is no customer''s goes');
SELECT lives_ok('DELETE FROM formula WHERE code = ''dough''', 'a formula that nothing is made of goes');
SELECT is_empty('SELECT 1 FROM formula_line WHERE formula = ''dough'' UNION SELECT 1 FROM formula_stage',
    'with its lines and stages');
SELECT lives_ok('DELETE FROM starter WHERE code = ''sour''', 'a starter goes');
SELECT is_empty('SELECT 1 FROM starter_flour UNION SELECT 1 FROM starter_ripening', 'with its blend and what was seen of its ripening');
SELECT results_eq($$ WITH gone AS (DELETE FROM ingredient WHERE code = 'oats' RETURNING code) SELECT code::text COLLATE "default" FROM gone $$,
    ARRAY['oats'], 'an ingredient that only has prices goes');
SELECT lives_ok('DELETE FROM timetable_moves', 'a day''s moves go');
SELECT is_empty('SELECT * FROM timetable_move', 'all of them');
DELETE FROM person;
SELECT is_empty('SELECT 1 FROM ingredient_price WHERE ingredient = ''oats'' UNION SELECT 1 FROM web_session',
    'with its prices; and a person with the sessions');

SELECT * FROM finish();
ROLLBACK;
