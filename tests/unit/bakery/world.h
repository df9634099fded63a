/* A small invented bakery for the tests, told in few words.
 *
 * Lines are written as a baker reads them, separated by commas: "wheat 90, rye 10, water 70,
 * starter levain flour 15, formula soaker 20". Numbers are decimal text, never floating.
 */
#ifndef MORROWLOAF_TESTS_BAKERY_WORLD_H
#define MORROWLOAF_TESTS_BAKERY_WORLD_H

#include "bakery/catalogue.h"
#include "bakery/mixing.h"
#include "bakery/needs.h"
#include "bakery/production.h"
#include "base/arena.h"
#include "base/fail.h"

struct world {
    struct arena *arena;
    struct fails fails;
    struct catalogue catalogue;
    struct catalogue_faults faults;
    struct breakdowns breakdowns;
    struct reckoning reckoning;
    struct demand *demands;
    size_t demand_count;
    size_t demand_room;
};

/* Flours wheat, rye, spelt; water; salt; yeast and seeds (other); milk (87.5 % water); bag, counted
 * by the piece. London, ready 06:30, working days from 12:00, scale 1 g, no mixers. */
struct world *world_new(void);
void world_free(struct world *w);
void set_zone(struct world *w, const char *name);

void ingredient(struct world *w, const char *code, enum ingredient_kind kind);
struct ingredient *the_ingredient(struct world *w, const char *code);
void starter(struct world *w, const char *code, const char *hydration, const char *flours);
struct starter *the_starter(struct world *w, const char *code);
void formula(struct world *w, const char *code, enum basis basis, const char *lines);
struct formula *the_formula(struct world *w, const char *code);
/* "bulk 180, proof 720" */
void stages(struct world *w, const char *code, const char *list);
/* "country 900, seeds 30": grams of formulas, or of ingredients where no formula has the code. */
void product(struct world *w, const char *code, const char *parts);
struct product *the_product(struct world *w, const char *code);
void packaging(struct world *w, const char *code, const char *of, int64_t pieces);
void mixer(struct world *w, const char *code, const char *min, const char *max);
/* A pack in grams or pieces and its price. */
void price(struct world *w, const char *code, const char *pack, const char *money);
/* ready "" is no time of the customer's own. */
void order(struct world *w, const char *day, const char *of, int64_t pieces, const char *ready);

/* Resolves the codes and works out the formulas; true when there was no fault. */
bool work_out(struct world *w);
/* The same, which must go well. */
void open_world(struct world *w);
/* Whether there is a fault at the path of the thing. */
bool has_fault(const struct world *w, enum catalogue_place where, const char *code,
               const char *path);
bool formula_fault(const struct world *w, const char *code, const char *path);

/* "12.5" in units of 10^-places. */
int64_t units(const char *text, int places);
int64_t mg(const char *grams);
int64_t pct(const char *percent);
int64_t micros(const char *money);
date day_of(const char *text);
/* RFC 3339 text of an instant in the world's zone; static, overwritten by the fourth call after. */
const char *clock_text(const struct world *w, instant at);
const char *day_text(date day);

/* The index of a code; the test fails when there is none. */
size_t at_ingredient(const struct world *w, const char *code);
size_t at_formula(const struct world *w, const char *code);
size_t at_product(const struct world *w, const char *code);

/* Reckonings that must go well. */
struct production production_on(struct world *w, const char *day);
struct needs needs_on(struct world *w, const char *day);
struct day_cost cost_on(struct world *w, const char *day);
struct mixing_list list_on(struct world *w, const char *day);
/* The mix of a formula in a list; NULL when there is none. */
const struct mix *mix_of(const struct world *w, const struct mixing_list *list, const char *code);
/* Milligrams of an ingredient in needs; -1 when it is not there. */
int64_t need_mg(const struct world *w, const struct needs *needs, const char *code);
/* A share of a formula's composition in units of 10^-12. */
int64_t composition(const struct world *w, const char *code, const char *of);
/* The n-th line of a formula's dough in units of 10^-12. */
int64_t share(const struct world *w, const char *code, size_t n);

/* How a product is baked: one step with steam at 250 degrees of so many minutes. */
void bakes(struct world *w, const char *code, int64_t per_place, int64_t minutes);

#endif
