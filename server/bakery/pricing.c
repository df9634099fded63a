/* Prices, exact: every step is one rounded division of whole numbers. */
#include "bakery/pricing.h"

#include "base/decimal.h"
#include "base/fixed.h"

/* a x b / c rounded into *out. False when c is not positive or it does not fit. */
static bool scaled(int64_t a, int64_t b, int64_t c, enum rounding rounding, int64_t *out)
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
    switch (target) {
    case TARGET_MARGIN:
        return scaled(cost_micros, PERCENT_WHOLE, PERCENT_WHOLE - target_pct, ROUND_HALF_EVEN,
                      net_micros);
    case TARGET_MARKUP:
        return scaled(cost_micros, PERCENT_WHOLE + target_pct, PERCENT_WHOLE, ROUND_HALF_EVEN,
                      net_micros);
    case TARGET_INGREDIENT_SHARE:
        return scaled(ingredients_micros, PERCENT_WHOLE, target_pct, ROUND_HALF_EVEN, net_micros);
    case TARGET_NONE:
        break;
    }
    return false;
}

/* The step that prices of a list go by. */
static int64_t step_of(const struct price_list *list, int currency_places)
{
    if (list->step_micros > 0) return list->step_micros;
    return (int64_t)fixed_power10(currency_places < MONEY_PLACES ? MONEY_PLACES - currency_places
                                                                 : 0);
}

bool price_round_up(const struct price_list *list, int currency_places, int64_t micros,
                    int64_t *rounded)
{
    int64_t step = step_of(list, currency_places);
    int64_t ending = list->step_micros > 0 ? list->ending_micros : 0;
    int64_t steps;
    if (!scaled(micros - ending, 1, step, ROUND_UP, &steps)) return false;
    if (steps < 0) steps = 0;
    return !__builtin_mul_overflow(steps, step, rounded) &&
           !__builtin_add_overflow(*rounded, ending, rounded);
}

bool price_with_tax(int64_t net_micros, int64_t tax_pct, int64_t *gross)
{
    return scaled(net_micros, PERCENT_WHOLE + tax_pct, PERCENT_WHOLE, ROUND_HALF_EVEN, gross);
}

bool price_without_tax(int64_t gross_micros, int64_t tax_pct, int64_t *net)
{
    return scaled(gross_micros, PERCENT_WHOLE, PERCENT_WHOLE + tax_pct, ROUND_HALF_EVEN, net);
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
        (!scaled(net - cost_micros, PERCENT_WHOLE, net, ROUND_HALF_EVEN, &out->margin_pct) ||
         !scaled(ingredients_micros, PERCENT_WHOLE, net, ROUND_HALF_EVEN,
                 &out->ingredient_share_pct)))
        return false;
    return !out->has_markup ||
           scaled(net - cost_micros, PERCENT_WHOLE, cost_micros, ROUND_HALF_EVEN, &out->markup_pct);
}

/* The target is met before rounding, and rounding goes up.
 */
bool price_proposed(const struct price_list *list, int currency_places,
                    const struct product *product, int64_t cost_micros, int64_t ingredients_micros,
                    struct price_figures *out)
{
    int64_t net, shown, rounded;
    if (!price_of_target(product->target, product->target_pct, cost_micros, ingredients_micros,
                         &net))
        return false;
    shown = net;
    if (list->with_tax && !price_with_tax(net, product->tax_pct, &shown)) return false;
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
    if (net_micros <= variable_micros ||
        !scaled(fixed_micros, 1, net_micros - variable_micros, ROUND_UP, &pieces))
        return -1;
    return pieces;
}

bool percent_change(int64_t old, int64_t changed, int64_t *pct)
{
    return scaled(changed - old, PERCENT_WHOLE, old, ROUND_HALF_EVEN, pct);
}

bool price_change_volume(int64_t net_micros, int64_t new_net_micros, int64_t variable_micros,
                         int64_t *volume_pct)
{
    return new_net_micros > variable_micros &&
           percent_change(new_net_micros - variable_micros, net_micros - variable_micros,
                          volume_pct);
}
