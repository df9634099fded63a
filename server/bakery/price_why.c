/* The tree of a price. Its values are differences of figures that are printed, so that they sum to
 * the price to the last digit. */
#include "bakery/price_why.h"

static void adopt(struct why *parent, struct why *child)
{
    child->next = parent->first;
    parent->first = child;
    if (!parent->last) parent->last = child;
    parent->child_count++;
}

struct why *price_why(const struct reckoning *reckoning, const struct product_costing *costing,
                      const struct price_figures *figures, const char *price_source,
                      const char *pricing_source)
{
    struct why *root = why_add(reckoning, NULL, "price", price_source);
    struct why *earned = root ? why_add(reckoning, root, "what it earns", price_source) : NULL;
    if (!earned) return NULL;
    earned->value = figures->net_micros - costing->each_micros;
    if (figures->price_micros != figures->net_micros) {
        struct why *tax = why_add(reckoning, root, "tax", pricing_source);
        if (!tax) return NULL;
        tax->value = figures->price_micros - figures->net_micros;
    }
    adopt(root, costing->root);
    root->value = figures->price_micros;
    return root;
}
