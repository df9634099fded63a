/* Prices, exact: every step is one rounded division of whole numbers.
 *
 * A target is met by a net price of whole millionths, and the price that a list shows comes to such
 * a net price. What is proposed is therefore found backwards: the least net price that meets the
 * target, the least price that comes to it, the least price of the list that is not under that.
 * Every step is the least of its kind and rises with the one before, so the last is the least price
 * of the list whose own figures meet the target.
 */
#include "bakery/pricing.h"

#include "base/decimal.h"
#include "base/fixed.h"

/* a x b / c rounded into *out. False when c is not positive or it does not fit. Terms are fixed so
 * that sums and differences of stored numbers can be handed over as they are. */
static bool scaled(fixed a, fixed b, fixed c, enum rounding rounding, int64_t *out)
{
    fixed result;
    if (c <= 0 || !fixed_muldiv(a, b, c, rounding, &result) || result > INT64_MAX ||
        result < INT64_MIN)
        return false;
    *out = (int64_t)result;
    return true;
}

int64_t price_at(const struct product_price *price, int64_t pieces)
{
    int64_t micros = 0;
    for (size_t i = 0; i < price->break_count && price->breaks[i].from_pieces <= pieces; i++)
        micros = price->breaks[i].micros;
    return micros;
}

bool price_of_target(enum target_kind target, int64_t target_pct, int64_t cost_micros,
                     int64_t ingredients_micros, int64_t *net_micros)
{
    const fixed whole = PERCENT_WHOLE;
    switch (target) {
    case TARGET_MARGIN:
        return scaled(cost_micros, whole, whole - target_pct, ROUND_UP, net_micros);
    case TARGET_MARKUP:
        return scaled(cost_micros, whole + target_pct, whole, ROUND_UP, net_micros);
    case TARGET_INGREDIENT_SHARE:
        return scaled(ingredients_micros, whole, target_pct, ROUND_UP, net_micros);
    case TARGET_NONE:
        break;
    }
    return false;
}

/* The step that prices of a list go by. No price is finer than a millionth, whatever the currency.
 */
static int64_t step_of(const struct price_list *list, int currency_places)
{
    int finer = MONEY_PLACES - currency_places;
    if (list->step_micros > 0) return list->step_micros;
    return finer > 0 ? (int64_t)fixed_power10(finer) : 1;
}

bool price_round_up(const struct price_list *list, int currency_places, int64_t micros,
                    int64_t *rounded)
{
    int64_t step = step_of(list, currency_places);
    int64_t ending = list->step_micros > 0 ? list->ending_micros : 0;
    int64_t steps;
    if (!scaled((fixed)micros - ending, 1, step, ROUND_UP, &steps)) return false;
    if (steps < 0) steps = 0;
    return !__builtin_mul_overflow(steps, step, rounded) &&
           !__builtin_add_overflow(*rounded, ending, rounded);
}

bool price_with_tax(int64_t net_micros, int64_t tax_pct, int64_t *gross)
{
    return scaled(net_micros, (fixed)PERCENT_WHOLE + tax_pct, PERCENT_WHOLE, ROUND_HALF_EVEN,
                  gross);
}

bool price_without_tax(int64_t gross_micros, int64_t tax_pct, int64_t *net)
{
    return scaled(gross_micros, PERCENT_WHOLE, (fixed)PERCENT_WHOLE + tax_pct, ROUND_HALF_EVEN,
                  net);
}

bool price_figures_of(const struct price_list *list, int64_t price_micros, int64_t tax_pct,
                      int64_t cost_micros, int64_t ingredients_micros, struct price_figures *out)
{
    *out = (struct price_figures){.price_micros = price_micros, .net_micros = price_micros};
    if (list->with_tax && !price_without_tax(price_micros, tax_pct, &out->net_micros)) return false;
    int64_t net = out->net_micros;
    out->has_margin = net > 0;
    out->has_markup = cost_micros > 0;
    if (out->has_margin &&
        (!scaled((fixed)net - cost_micros, PERCENT_WHOLE, net, ROUND_HALF_EVEN, &out->margin_pct) ||
         !scaled(ingredients_micros, PERCENT_WHOLE, net, ROUND_HALF_EVEN,
                 &out->ingredient_share_pct)))
        return false;
    return !out->has_markup || scaled((fixed)net - cost_micros, PERCENT_WHOLE, cost_micros,
                                      ROUND_HALF_EVEN, &out->markup_pct);
}

/* The least price with tax in it that comes to that net price or more: net prices are rounded half
 * to even, so half a millionth less is enough, or just above it. */
static bool least_with_tax(int64_t net_micros, int64_t tax_pct, int64_t *gross)
{
    const fixed whole = PERCENT_WHOLE;
    int64_t net;
    if (!scaled((fixed)2 * net_micros - 1, whole + tax_pct, 2 * whole, ROUND_UP, gross) ||
        !price_without_tax(*gross, tax_pct, &net))
        return false;
    return net >= net_micros || !__builtin_add_overflow(*gross, 1, gross);
}

/* What costs nothing still has a price: the least of the list above nothing. */
bool price_proposed(const struct price_list *list, int currency_places,
                    const struct product *product, int64_t cost_micros, int64_t ingredients_micros,
                    struct price_figures *out)
{
    int64_t net, shown, rounded;
    if (!price_of_target(product->target, product->target_pct, cost_micros, ingredients_micros,
                         &net))
        return false;
    if (net < 1) net = 1;
    shown = net;
    if (list->with_tax && !least_with_tax(net, product->tax_pct, &shown)) return false;
    return price_round_up(list, currency_places, shown, &rounded) &&
           price_figures_of(list, rounded, product->tax_pct, cost_micros, ingredients_micros, out);
}

bool price_under_target(const struct product *product, const struct price_figures *figures)
{
    switch (product->target) {
    case TARGET_MARGIN:
        return !figures->has_margin || figures->margin_pct < product->target_pct;
    case TARGET_MARKUP:
        return figures->has_markup && figures->markup_pct < product->target_pct;
    case TARGET_INGREDIENT_SHARE:
        return !figures->has_margin || figures->ingredient_share_pct > product->target_pct;
    case TARGET_NONE:
        break;
    }
    return false;
}

int64_t break_even_pieces(int64_t net_micros, int64_t variable_micros, int64_t fixed_micros)
{
    int64_t pieces;
    if (fixed_micros <= 0 && net_micros >= variable_micros) return 0;
    bool ever = scaled(fixed_micros, 1, (fixed)net_micros - variable_micros, ROUND_UP, &pieces);
    return ever ? pieces : -1;
}

/* changed / old - 1. */
static bool relative(fixed old, fixed changed, int64_t *pct)
{
    return scaled(changed - old, PERCENT_WHOLE, old, ROUND_HALF_EVEN, pct);
}

bool percent_change(int64_t old, int64_t changed, int64_t *pct)
{
    return relative(old, changed, pct);
}

bool price_change_volume(int64_t net_micros, int64_t new_net_micros, int64_t variable_micros,
                         int64_t *volume_pct)
{
    fixed old = (fixed)net_micros - variable_micros;
    return old >= 0 && relative((fixed)new_net_micros - variable_micros, old, volume_pct);
}
