/* Building the tree of a figure, and summing it up. Trees are as deep as formulas nest and a few
 * levels more: they are walked by recursion. */
#include "bakery/why.h"

#include "bakery/amount.h"

struct why *why_add(const struct reckoning *reckoning, struct why *parent, const char *what,
                    const char *source)
{
    struct why *node = amount_memory(reckoning, 1, sizeof *node);
    if (!node) return NULL;
    node->what = what;
    node->source = source;
    if (!parent) return node;
    if (parent->last)
        parent->last->next = node;
    else
        parent->first = node;
    parent->last = node;
    parent->child_count++;
    return node;
}

bool why_sum(const struct reckoning *reckoning, struct why *root)
{
    if (!root->first) return true;
    root->value = 0;
    root->missing = false;
    for (struct why *child = root->first; child; child = child->next) {
        if (!why_sum(reckoning, child) || !amount_add_whole(reckoning, &root->value, child->value))
            return false;
        root->missing |= child->missing;
    }
    return true;
}
