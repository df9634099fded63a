/* Amounts of ingredients on the wire. */
#include "api/amount_body.h"

#include "api/limits.h"
#include "base/decimal.h"

#include <stdio.h>

enum { MEMBER_SIZE = 48 };

static const char *member(char name[MEMBER_SIZE], const char *stem, enum ingredient_unit unit)
{
    snprintf(name, MEMBER_SIZE, "%s%s%s", stem, *stem == '\0' ? "" : "_",
             unit == UNIT_GRAM ? "g" : "pieces");
    return name;
}

void amount_write_or_null(struct json_writer *json, const char *stem, enum ingredient_unit unit,
                          int64_t amount, bool known)
{
    char name[MEMBER_SIZE];
    member(name, stem, unit);
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

int64_t amount_read(struct json_object *body, const char *stem, enum json_need need,
                    enum ingredient_unit unit, int64_t min)
{
    const char *wanted = *stem == '\0' ? (unit == UNIT_GRAM ? "g" : "pieces")
                                       : (unit == UNIT_GRAM ? "pack_g" : "pack_pieces");
    const char *other = *stem == '\0' ? (unit == UNIT_GRAM ? "pieces" : "g")
                                      : (unit == UNIT_GRAM ? "pack_pieces" : "pack_g");
    if (json_has(body, other))
        json_fault(body, other, "is not how this ingredient is counted; give %s", wanted);
    return unit == UNIT_GRAM ? json_decimal(body, wanted, need, WEIGHT_PLACES, min, WEIGHT_MAX, 0)
                             : json_whole(body, wanted, need, min, PIECES_MAX, 0);
}
