/* The simple values of a body: texts, words, numbers, dates, clock times.
 *
 * Each reading function says what it takes in one sentence with all its limits. Texts are given out
 * as they lie in the parsed body, which lives as long as the arena.
 */
#include "base/arena.h"
#include "base/code.h"
#include "base/decimal.h"
#include "base/fail.h"
#include "json/place.h"
#include "json/utf8.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* --- text --- */

enum {
    LINE_SEPARATOR = 0x2028,
    PARAGRAPH_SEPARATOR = 0x2029,
    DELETE = 0x7f,
    LAST_C1_CONTROL = 0x9f
};

/* Spaces of Unicode, those without width too. */
static bool is_space(uint32_t c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == 0xa0 || c == 0x1680 ||
           (c >= 0x2000 && c <= 0x200b) || c == LINE_SEPARATOR || c == PARAGRAPH_SEPARATOR ||
           c == 0x202f || c == 0x205f || c == 0x3000 || c == 0xfeff;
}

static bool is_control(uint32_t c)
{
    return c < ' ' || (c >= DELETE && c <= LAST_C1_CONTROL);
}

/* What is in a text. */
struct survey {
    size_t characters;
    const char *first, *end; /* from the first character that is no space to behind the last */
    bool controls;           /* other than newline and tab */
    bool breaks;             /* newline, tab and the separators: more than one line */
};

static struct survey look_over(const char *text)
{
    struct survey survey = {0};
    uint32_t c;
    for (size_t step; *text != '\0'; text += step) {
        step = utf8_decode(text, &c);
        if (step == 0) { /* cannot come from the parser */
            survey.controls = true;
            return survey;
        }
        survey.characters++;
        bool breaks = c == '\n' || c == '\t' || c == LINE_SEPARATOR || c == PARAGRAPH_SEPARATOR;
        survey.breaks |= breaks;
        survey.controls |= is_control(c) && !breaks;
        if (is_space(c)) continue;
        if (survey.first == NULL) survey.first = text;
        survey.end = text + step;
    }
    return survey;
}

static const char *read_text(const json_t *value, struct json_place place, size_t max)
{
    const char *text = json_string_value(value);
    if (text == NULL) {
        json_place_fault(place, "must be text of 1 to %zu characters", max);
        return NULL;
    }
    struct survey survey = look_over(text);
    if (survey.controls) {
        json_place_fault(place, "must not hold control characters other than newline and tab");
    } else if (survey.first == NULL) {
        json_place_fault(place, "must not be empty");
    } else if (survey.characters > max) {
        json_place_fault(place, "must be text of 1 to %zu characters, not %zu", max,
                         survey.characters);
    } else {
        return text;
    }
    return NULL;
}

const char *json_text(struct json_object *object, const char *name, enum json_need need, size_t max)
{
    const json_t *value = json_take(object, name, need);
    return value == NULL ? NULL : read_text(value, json_place_of(object, name), max);
}

/* The text without the spaces at its ends. */
static const char *trim(const struct json_node *node, const char *text, struct survey survey)
{
    if (survey.first == text && *survey.end == '\0') return text;
    const char *copy = arena_copy_n(node->arena, survey.first, (size_t)(survey.end - survey.first));
    if (copy == NULL) fail_memory(node->fails);
    return copy;
}

const char *json_line(struct json_object *object, const char *name, enum json_need need, size_t max)
{
    const json_t *value = json_take(object, name, need);
    if (value == NULL) return NULL;
    const char *text = json_string_value(value);
    if (text == NULL) {
        json_fault(object, name, "must be text of 1 to %zu characters", max);
        return NULL;
    }
    struct survey survey = look_over(text);
    if (survey.controls || survey.breaks) {
        json_fault(object, name, "must be one line without control characters");
        return NULL;
    }
    if (survey.first == NULL) {
        json_fault(object, name, "must not be empty");
        return NULL;
    }
    text = trim(&object->node, text, survey);
    size_t characters = text == NULL ? 0 : look_over(text).characters;
    if (characters > max) {
        json_fault(object, name, "must be text of 1 to %zu characters, not %zu", max, characters);
        return NULL;
    }
    return text;
}

const char *json_name(struct json_object *object, const char *name, enum json_need need)
{
    return json_line(object, name, need, NAME_MAX_CHARACTERS);
}

static const char *read_code(const json_t *value, struct json_place place)
{
    const char *text = json_string_value(value);
    if (code_valid(text)) return text;
    json_place_fault(place,
                     "must be a code of 1 to %d lower-case letters, digits and hyphens, "
                     "beginning with a letter or digit",
                     CODE_MAX);
    return NULL;
}

const char *json_code(struct json_object *object, const char *name, enum json_need need)
{
    const json_t *value = json_take(object, name, need);
    return value == NULL ? NULL : read_code(value, json_place_of(object, name));
}

static struct json_place item_place(const struct json_node *item)
{
    return (struct json_place){.arena = item->arena, .fails = item->fails, .path = item->path};
}

const char *json_item_text(const struct json_node *item, size_t max)
{
    return read_text(item->value, item_place(item), max);
}

/* --- words --- */

/* "final, total": the words as they stand in a sentence; NULL when memory is short. */
static const char *enumerate(struct arena *arena, const char *const words[])
{
    const char *all = words[0];
    for (size_t i = 1; words[i] != NULL && all != NULL; i++) {
        all = arena_printf(arena, "%s, %s", all, words[i]);
    }
    return all;
}

int json_word(struct json_object *object, const char *name, enum json_need need,
              const char *const words[], int otherwise)
{
    const json_t *value = json_take(object, name, need);
    if (value == NULL) return otherwise;
    const char *text = json_string_value(value);
    for (int i = 0; text != NULL && words[i] != NULL; i++) {
        if (strcmp(text, words[i]) == 0) return i;
    }
    const char *all = enumerate(object->node.arena, words);
    if (all == NULL) {
        fail_memory(object->node.fails);
    } else {
        json_fault(object, name, "must be one of: %s", all);
    }
    return otherwise;
}

bool json_bool(struct json_object *object, const char *name, enum json_need need, bool otherwise)
{
    const json_t *value = json_take(object, name, need);
    if (value == NULL) return otherwise;
    if (json_is_boolean(value)) return json_is_true(value);
    json_fault(object, name, "must be true or false");
    return otherwise;
}

/* --- numbers --- */

/* What a number of the body turned out to be. */
enum reading {
    READ_OK,
    READ_OTHER,      /* no number, or out of range */
    READ_TOO_PRECISE /* more decimals than are kept */
};

static enum reading judge(enum decimal_result result)
{
    switch (result) {
    case DECIMAL_OK:
        return READ_OK;
    case DECIMAL_TOO_PRECISE:
        return READ_TOO_PRECISE;
    default:
        return READ_OTHER;
    }
}

/* The parser has turned a number with a point or exponent into a double. Up to 15 digits it can be
 * had back exactly as it was written. A double that 15 digits do not name was written with more;
 * some digit of it is lost, so it is too precise rather than silently another number. */
static enum reading read_real(double real, int places, int64_t *number)
{
    char text[64];
    snprintf(text, sizeof text, "%.15g", real);
    if (strtod(text, NULL) != real) return READ_TOO_PRECISE;
    /* The C library writes the point of its locale. */
    size_t length = strlen(text);
    for (size_t i = 0; i < length; i++) {
        if (strchr("0123456789-+e", text[i]) == NULL) text[i] = '.';
    }
    return judge(decimal_parse(text, length, places, number));
}

static enum reading read_number(const json_t *value, int places, int64_t *number)
{
    if (json_is_real(value)) return read_real(json_real_value(value), places, number);
    if (!json_is_integer(value)) return READ_OTHER;
    char text[DECIMAL_TEXT_SIZE];
    size_t length = decimal_print(text, json_integer_value(value), 0, 0);
    return judge(decimal_parse(text, length, places, number));
}

/* A string of digits, at most one point and perhaps a minus. */
static enum reading read_decimal_text(const json_t *value, int places, int64_t *number)
{
    const char *text = json_string_value(value);
    if (text == NULL || strpbrk(text, "eE") != NULL) return READ_OTHER;
    return judge(decimal_parse(text, strlen(text), places, number));
}

static int64_t whole(const json_t *value, struct json_place place, int64_t min, int64_t max,
                     int64_t otherwise)
{
    int64_t number = 0;
    if (read_number(value, 0, &number) == READ_OK && number >= min && number <= max) return number;
    json_place_fault(place, "must be a whole number from %lld to %lld", (long long)min,
                     (long long)max);
    return otherwise;
}

int64_t json_whole(struct json_object *object, const char *name, enum json_need need, int64_t min,
                   int64_t max, int64_t otherwise)
{
    const json_t *value = json_take(object, name, need);
    if (value == NULL) return otherwise;
    return whole(value, json_place_of(object, name), min, max, otherwise);
}

int64_t json_item_whole(const struct json_node *item, int64_t min, int64_t max, int64_t otherwise)
{
    return whole(item->value, item_place(item), min, max, otherwise);
}

/* The sentence for a number that was not taken. */
static void number_fault(struct json_place place, const char *what, int places, int64_t min,
                         int64_t max)
{
    char least[DECIMAL_TEXT_SIZE];
    char most[DECIMAL_TEXT_SIZE];
    decimal_print(least, min, places, 0);
    decimal_print(most, max, places, 0);
    json_place_fault(place, "must be %s from %s to %s with at most %d decimals", what, least, most,
                     places);
}

int64_t json_decimal(struct json_object *object, const char *name, enum json_need need, int places,
                     int64_t min, int64_t max, int64_t otherwise)
{
    const json_t *value = json_take(object, name, need);
    if (value == NULL) return otherwise;
    int64_t number = 0;
    enum reading reading = json_is_string(value) ? read_decimal_text(value, places, &number)
                                                 : read_number(value, places, &number);
    if (reading == READ_OK && number >= min && number <= max) return number;
    if (reading == READ_TOO_PRECISE) {
        json_fault(object, name, "must have at most %d decimals%s", places,
                   json_is_string(value) ? "" : " and, unless sent as text, at most 15 digits");
    } else {
        number_fault(json_place_of(object, name), "a number", places, min, max);
    }
    return otherwise;
}

int64_t json_money(struct json_object *object, const char *name, enum json_need need, int64_t min,
                   int64_t max, int64_t otherwise)
{
    const json_t *value = json_take(object, name, need);
    if (value == NULL) return otherwise;
    int64_t number = 0;
    enum reading reading = read_decimal_text(value, MONEY_PLACES, &number);
    if (reading == READ_OK && number >= min && number <= max) return number;
    if (reading == READ_TOO_PRECISE) {
        json_fault(object, name, "must have at most %d decimals", MONEY_PLACES);
    } else {
        number_fault(json_place_of(object, name), "an amount in text, such as \"3.45\",",
                     MONEY_PLACES, min, max);
    }
    return otherwise;
}

/* --- dates and clock times --- */

bool json_date(struct json_object *object, const char *name, enum json_need need, date *out)
{
    const json_t *value = json_take(object, name, need);
    if (value == NULL) return false;
    const char *text = json_string_value(value);
    if (text != NULL && date_parse(text, out)) return true;
    return json_fault(object, name,
                      "must be a day of the calendar as YYYY-MM-DD, from 1900-01-01 to 9999-12-31");
}

bool json_clock(struct json_object *object, const char *name, enum json_need need, int *minutes)
{
    const json_t *value = json_take(object, name, need);
    if (value == NULL) return false;
    const char *text = json_string_value(value);
    if (text != NULL && clock_parse(text, minutes)) return true;
    return json_fault(object, name, "must be a time of day as HH:MM, from 00:00 to 23:59");
}

bool json_instant(struct json_object *object, const char *name, enum json_need need, instant *out)
{
    const json_t *value = json_take(object, name, need);
    if (value == NULL) return false;
    const char *text = json_string_value(value);
    if (text != NULL && instant_parse(text, out)) return true;
    return json_fault(object, name,
                      "must be a moment as YYYY-MM-DDTHH:MM:SS with its offset, such as"
                      " 2026-03-01T05:30:00+01:00");
}
