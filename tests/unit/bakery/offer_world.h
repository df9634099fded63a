/* A bakery of loaves and tins, and asking it whether it can take more. What goes wrong fails the
 * test at once. */
#ifndef MORROWLOAF_TESTS_BAKERY_OFFER_WORLD_H
#define MORROWLOAF_TESTS_BAKERY_OFFER_WORLD_H

#include "bakery/offer.h"
#include "world.h"

/* A loaf takes 100 g of levain; its dough begins 14 hours before half past six, the tins' 4. Card
 * has no dough. One mixer of 5 to 50 kg, no oven. */
struct world *loaf_bakery(void);
/* One part of levain to two and two, ripe after six hours at 24 degrees. */
extern struct ripening levain_seen[1];
void use(struct world *w, const char *code, size_t stage, enum stage_use uses);
/* The one oven: decks of a single place. */
void one_oven(struct world *w, int64_t decks, int64_t preheat);
instant at_clock(const struct world *w, const char *day, const char *clock);

/* A pot that was fed then, as seen. */
struct pot_state fed(instant at, const char *grams);
/* pots NULL: no log is kept. */
struct offer_world as_known(struct world *w, instant now, const struct pot_state *pots);
struct offer ask_with(struct world *w, const struct pot_state *pots, instant now, const char *day,
                      const char *code, int64_t pieces);
struct offer ask(struct world *w, instant now, const char *day, const char *code, int64_t pieces);
/* What is said to be possible is, and one more is not. */
void expect_possible(struct world *w, const struct pot_state *pots, instant now, const char *day,
                     const char *code, const struct offer *told);
/* An offer for 2027-05-11 that must be refused for that reason, and hold what it says. */
struct offer refused(struct world *w, const struct pot_state *pots, instant now, const char *code,
                     int64_t pieces, const char *reason);

#endif
