/* Amounts of ingredients on the wire. */
#include "api/amount_body.h"

#include "api/limits.h"
#include "base/decimal.h"

#include <stdio.h>

enum { MEMBER_SIZE = 48 };

/* By enum ingredient_unit. What is read is named by these: the reader keeps the names it is asked.
 */
static const char *const members[] = {"g", "pieces"};
static const char *const pack_members[] = {"pack_g", "pack_pieces"};

const char *amount_member(enum ingredient_unit unit)
{
    return members[unit];
}

void amount_write_or_null(struct json_writer *json, const char *stem, enum ingredient_unit unit,
                          int64_t amount, bool known)
{
    char name[MEMBER_SIZE];
    snprintf(name, sizeof name, "%s%s%s", stem, *stem == '\0' ? "" : "_", members[unit]);
    if (unit == UNIT_GRAM)
        json_put_decimal_or_null(json, name, amount, WEIGHT_PLACES, known);
    else
        json_put_whole_or_null(json, name, amount, known);
}

void amount_write(struct json_writer *json, const char *stem, enum ingredient_unit unit,
                  int64_t amount)
{
    amount_write_or_null(json, stem, unit, amount, true);
}

static int64_t read(struct json_object *body, const char *const names[], enum json_need need,
                    enum ingredient_unit unit, int64_t min)
{
    const char *wanted = names[unit];
    const char *other = names[unit == UNIT_GRAM ? UNIT_PIECE : UNIT_GRAM];
    if (json_has(body, other))
        json_fault(body, other, "is not how this ingredient is counted; give %s", wanted);
    return unit == UNIT_GRAM ? json_decimal(body, wanted, need, WEIGHT_PLACES, min, WEIGHT_MAX, 0)
                             : json_whole(body, wanted, need, min, PIECES_MAX, 0);
}

int64_t amount_read(struct json_object *body, enum json_need need, enum ingredient_unit unit,
                    int64_t min)
{
    return read(body, members, need, unit, min);
}

int64_t amount_read_pack(struct json_object *body, enum json_need need, enum ingredient_unit unit)
{
    return read(body, pack_members, need, unit, 1);
}
