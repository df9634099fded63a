/* Trees of figures. */
#include "world.h"

#include "bakery/why.h"

#include <criterion/criterion.h>

TestSuite(why, .timeout = 30);

static struct why *leaf(struct world *w, struct why *parent, int64_t value)
{
    struct why *node = why_add(&w->reckoning, parent, "leaf", "/api/v1/bakery");
    cr_assert_not_null(node);
    node->value = value;
    return node;
}

/* (3 + (4 + 5)) + 6, the children in the order in which they were added. */
Test(why, parents_are_the_sum_of_their_children)
{
    struct world *w = world_new();
    struct why *root = leaf(w, NULL, 99);
    struct why *branch = leaf(w, root, 99);
    leaf(w, branch, 3);
    struct why *twig = leaf(w, branch, 0);
    leaf(w, twig, 4);
    leaf(w, twig, 5);
    leaf(w, root, 6);
    cr_assert(why_sum(&w->reckoning, root));
    cr_expect_eq(root->value, 18);
    cr_expect_eq(branch->value, 12);
    cr_expect_eq(twig->value, 9);
    cr_expect_eq(root->child_count, 2);
    cr_expect_eq(root->first, branch);
    cr_expect_eq(root->last->value, 6);
    cr_expect_not(root->missing);
    world_free(w);
}

Test(why, a_hole_is_a_hole_all_the_way_up)
{
    struct world *w = world_new();
    struct why *root = leaf(w, NULL, 0);
    struct why *branch = leaf(w, root, 0);
    leaf(w, branch, 7);
    leaf(w, branch, 0)->missing = true;
    struct why *other = leaf(w, root, 0);
    leaf(w, other, 1);
    cr_assert(why_sum(&w->reckoning, root));
    cr_expect(root->missing);
    cr_expect(branch->missing);
    cr_expect_not(other->missing);
    cr_expect_eq(root->value, 8, "what is known of it");
    world_free(w);
}

Test(why, a_leaf_keeps_its_value)
{
    struct world *w = world_new();
    struct why *root = leaf(w, NULL, 5);
    cr_assert(why_sum(&w->reckoning, root));
    cr_expect_eq(root->value, 5);
    world_free(w);
}

Test(why, sums_beyond_counting_are_told)
{
    struct world *w = world_new();
    struct why *root = leaf(w, NULL, 0);
    leaf(w, root, INT64_MAX);
    leaf(w, root, 1);
    cr_expect_not(why_sum(&w->reckoning, root));
    cr_expect_eq(fails_code(&w->fails), FAIL_INVALID);
    world_free(w);
}

Test(why, short_memory_is_told)
{
    struct world *w = world_new();
    arena_fail_nth(1);
    cr_expect_null(why_add(&w->reckoning, NULL, "leaf", NULL));
    arena_fail_nth(0);
    cr_expect_eq(fails_code(&w->fails), FAIL_UNAVAILABLE);
    world_free(w);
}
