/* Finding things in a catalogue by code, and checking that it hangs together. */
#ifndef MORROWLOAF_BAKERY_CATALOGUE_H
#define MORROWLOAF_BAKERY_CATALOGUE_H

#include "bakery/model.h"

struct arena;

/* Indexes by code, or NOT_FOUND. Lists are sorted by code (strcmp). */
size_t catalogue_ingredient(const struct catalogue *catalogue, const char *code);
size_t catalogue_starter(const struct catalogue *catalogue, const char *code);
size_t catalogue_formula(const struct catalogue *catalogue, const char *code);
size_t catalogue_product(const struct catalogue *catalogue, const char *code);
/* The same of whatever can stand in a formula's line. */
size_t catalogue_thing(const struct catalogue *catalogue, enum line_kind kind, const char *code);

/* Their names, for what is told of the past: the code itself when there is no such thing any more.
 */
const char *catalogue_thing_name(const struct catalogue *catalogue, enum line_kind kind,
                                 const char *code);
const char *catalogue_product_name(const struct catalogue *catalogue, const char *code);

/* The ingredient of a code that stands in the book: what is named there is never deleted. */
const struct ingredient *catalogue_ingredient_of(const struct catalogue *catalogue,
                                                 const char *code);

/* Puts a thing into the catalogue in memory, replacing the one of its code, as a rehearsal of
 * storing it. The lists are copied into the arena with room for one more; order is kept. Codes must
 * be resolved again afterwards. False when memory is short. */
bool catalogue_put_ingredient(struct arena *arena, struct catalogue *catalogue,
                              const struct ingredient *ingredient);
bool catalogue_put_starter(struct arena *arena, struct catalogue *catalogue,
                           const struct starter *starter);
bool catalogue_put_formula(struct arena *arena, struct catalogue *catalogue,
                           const struct formula *formula);

enum catalogue_place { FAULT_STARTER, FAULT_FORMULA, FAULT_PRODUCT };

/* A fault of a thing in the catalogue. */
struct catalogue_fault {
    enum catalogue_place where;
    size_t index;     /* of the starter, formula or product */
    const char *path; /* JSON pointer within its body, such as "/lines/2/formula" */
    const char *text; /* plain sentence without a full stop */
};

struct catalogue_faults {
    struct arena *arena;
    struct catalogue_fault *items;
    size_t count;
    bool failed; /* memory was short */
};

/* Fills every index from its code and reports what is not found ("/lines/n/ingredient", "/water",
 * "/flours/n/ingredient", "/parts/n/formula", "/packaging/n/ingredient") or of the wrong kind: a
 * line or part with something counted by piece or of kind packaging ("/lines/n", "/parts/n"), a
 * starter's flour that is not flour, a starter's water that is not water, packaging counted in
 * grams (at the paths of what is not found), a formula's mixer that the bakery does not have
 * ("/mixer"). True when there was no fault.
 * Indexes of what is not found are NOT_FOUND. */
bool catalogue_resolve(struct catalogue *catalogue, struct catalogue_faults *faults);

/* Adds a fault; the path is copied. Always returns false. */
bool catalogue_fault_add(struct catalogue_faults *faults, enum catalogue_place where, size_t index,
                         const char *path, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

#endif
