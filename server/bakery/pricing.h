/* What something must sell for: margin, markup and share of ingredients, tax, price endings.
 *
 * Identities: margin = (net - cost) / net, markup = (net - cost) / cost, ingredient share =
 * ingredients / net (BC Cook Articulation Committee, Basic Kitchen and Food Service Management);
 * the three tell the same price in three ways. Percentages are rounded half to even at 1/10,000;
 * prices are exact millionths.
 */
#ifndef MORROWLOAF_BAKERY_PRICING_H
#define MORROWLOAF_BAKERY_PRICING_H

#include "bakery/model.h"

#include <stdbool.h>

struct price_list {
    const char *code;
    const char *name;
    bool with_tax;         /* its prices include the tax */
    int64_t step_micros;   /* prices are ending + a multiple of step; 0: of the currency's smallest
                              unit */
    int64_t ending_micros; /* 0 <= ending < step */
    const char *note;      /* or NULL */
    int64_t revision;
};

struct price_break {
    int64_t from_pieces;
    int64_t micros;
};

/* The prices of a product in a list from a date on. */
struct product_price {
    const char *price_list;
    const char *product;
    date from;
    struct price_break *breaks; /* ascending; the first from 1 piece */
    size_t break_count;
    int64_t revision;
};

/* The price of a piece in an order of so many; 0: none. */
int64_t price_at(const struct product_price *price, int64_t pieces);

/* The least net price, in millionths, that meets a target exactly: cost / (1 - margin), cost x (1 +
 * markup), ingredients / share, rounded up. False when there is no target, when it cannot be met
 * (margin of 100 % or more, share of nothing) or when it does not fit. */
bool price_of_target(enum target_kind target, int64_t target_pct, int64_t cost_micros,
                     int64_t ingredients_micros, int64_t *net_micros);

/* The least price of the list, none below zero, that is not under the given one (with tax already
 * in it when the list is with tax). currency_places: decimals of the smallest unit. False when it
 * does not fit. */
bool price_round_up(const struct price_list *list, int currency_places, int64_t micros,
                    int64_t *rounded);
/* net x (1 + tax) and back, half to even at a millionth. */
bool price_with_tax(int64_t net_micros, int64_t tax_pct, int64_t *gross);
bool price_without_tax(int64_t gross_micros, int64_t tax_pct, int64_t *net);

struct price_figures {
    int64_t price_micros; /* as the list shows it */
    int64_t net_micros;
    bool has_margin; /* net is not 0 */
    int64_t margin_pct;
    bool has_markup; /* cost is not 0 */
    int64_t markup_pct;
    int64_t ingredient_share_pct; /* with has_margin */
};

/* What a price of that list comes to. False when it does not fit. */
bool price_figures_of(const struct price_list *list, int64_t price_micros, int64_t tax_pct,
                      int64_t cost_micros, int64_t ingredients_micros, struct price_figures *out);

/* The price that a product's target asks for: the least of the list above nothing whose net price
 * meets the target exactly. False when there is no target, or it cannot be met or does not fit. */
bool price_proposed(const struct price_list *list, int currency_places,
                    const struct product *product, int64_t cost_micros, int64_t ingredients_micros,
                    struct price_figures *out);

/* Whether a price earns less than the product's target, as far as percentages are shown: a lower
 * margin or markup, a greater share of ingredients. Without a target never; without a net price
 * always, but for a markup on a cost of nothing. */
bool price_under_target(const struct product *product, const struct price_figures *figures);

/* The fewest pieces a day at which net x pieces covers fixed + variable x pieces; -1: never,
 * as nothing is earned on a piece (or on no countable number of them). Without fixed costs 0,
 * unless every piece loses. */
int64_t break_even_pieces(int64_t net_micros, int64_t variable_micros, int64_t fixed_micros);

/* new / old - 1 in PERCENT_PLACES. False when old is not above 0 or it does not fit. */
bool percent_change(int64_t old, int64_t changed, int64_t *pct);

/* By how much the pieces must change for a new price to bring the same contribution: old
 * contribution / new contribution - 1, in PERCENT_PLACES. False when the new price
 * brings none, or when the old one loses on every piece so that there is nothing to make up. */
bool price_change_volume(int64_t net_micros, int64_t new_net_micros, int64_t variable_micros,
                         int64_t *volume_pct);

#endif
