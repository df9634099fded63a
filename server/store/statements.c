/* The registry: a store file that has statements stands here. */
#include "store/statements.h"

extern const struct statement_table access_statements, bakery_statements, customer_statements,
    demand_statements, dough_temperature_statements, equipment_statements, formula_statements,
    history_statements, idempotency_statements, ingredient_statements, moves_statements,
    night_statements, order_statements, price_list_statements, price_statements, print_statements,
    product_statements, rates_statements, reference_statements, starter_log_statements,
    starter_statements, supplier_statements;

const struct statement_table *const store_statements[] = {
    &access_statements,
    &bakery_statements,
    &customer_statements,
    &demand_statements,
    &dough_temperature_statements,
    &equipment_statements,
    &formula_statements,
    &history_statements,
    &idempotency_statements,
    &ingredient_statements,
    &moves_statements,
    &night_statements,
    &order_statements,
    &price_list_statements,
    &price_statements,
    &print_statements,
    &product_statements,
    &rates_statements,
    &reference_statements,
    &starter_log_statements,
    &starter_statements,
    &supplier_statements,
    NULL,
};

/* Most of these are found before the database is asked, with the index of the faulty line; they
 * stand here for races and as the last wall. */
const struct db_constraint store_constraints[] = {
    {"access_token_name", "/name", "is the name of another token"},
    {"customer_price_list", "/price_list", "names a price list that does not exist"},
    {"formula_line_ingredient", "/lines", "names an ingredient that does not exist"},
    {"formula_line_part", "/lines", "names a formula that does not exist"},
    {"formula_line_starter", "/lines", "names a starter that does not exist"},
    {"formula_mixer", "/mixer", "names a mixer that does not exist"},
    {"order_from_customer", "/customer", "names a customer that does not exist"},
    {"order_line_product", "/lines", "names a product that does not exist"},
    {"order_line_pieces", "/lines", "has pieces that are not from 1 to 1000000"},
    {"price_from_supplier", "/supplier", "names a supplier that does not exist"},
    {"price_in_list", "", "is a price in a list that does not exist"},
    {"price_of_ingredient", "", "is the price of an ingredient that does not exist"},
    {"price_of_product", "", "is the price of a product that does not exist"},
    {"pricing_of_product", "", "is the pricing of a product that does not exist"},
    {"product_packaging_ingredient", "/packaging", "names an ingredient that does not exist"},
    {"product_part_formula", "/parts", "names a formula that does not exist"},
    {"product_part_ingredient", "/parts", "names an ingredient that does not exist"},
    {"log_of_starter", "", "is the log of a starter that does not exist"},
    {"starter_flour_ingredient", "/flours", "names an ingredient that does not exist"},
    {"starter_log_reverses", "/reverses", "is not an entry of this log"},
    {"starter_log_reversed_once", "/reverses", "is reversed already"},
    {"starter_water", "/water", "names an ingredient that does not exist"},
    {NULL, NULL, NULL},
};
