/* Writing an answer as JSON text.
 *
 * Invariants: what is written is valid JSON whatever the values are (bytes that are not UTF-8
 * become U+FFFD); depth counts the entries of `closing`; nothing depends on a locale. A misuse by
 * the program (too deep, closed too often) makes the text fail, so that half an answer is never
 * sent as a whole one.
 */
#include "json/writer.h"

#include "base/decimal.h"
#include "base/zone.h"
#include "json/utf8.h"

#include <string.h>

void json_writer_init(struct json_writer *writer, struct text *text)
{
    *writer = (struct json_writer){.text = text};
}

/* A value that needs no escaping, with the comma and the name before it and perhaps quotes around
 * it: put together in one piece, since answers are made of little else. */
static void put(struct json_writer *writer, const char *name, const char *value, size_t length,
                bool quotes)
{
    size_t name_length = name == NULL ? 0 : strlen(name);
    size_t name_room = name == NULL ? 0 : name_length + 3;
    char *at = text_room(writer->text, writer->comma + name_room + length + 2 * quotes);
    if (at == NULL) return;
    if (writer->comma) *at++ = ',';
    writer->comma = true;
    if (name != NULL) {
        *at++ = '"';
        at = (char *)memcpy(at, name, name_length) + name_length;
        *at++ = '"';
        *at++ = ':';
    }
    if (quotes) *at++ = '"';
    at = (char *)memcpy(at, value, length) + length;
    if (quotes) *at = '"';
}

static void open_level(struct json_writer *writer, const char *name, char opening, char closing)
{
    if (writer->depth == JSON_DEPTH_MAX) {
        writer->text->failed = true;
        return;
    }
    put(writer, name, &opening, 1, false);
    writer->closing[writer->depth++] = closing;
    writer->comma = false;
}

void json_open_object(struct json_writer *writer, const char *name)
{
    open_level(writer, name, '{', '}');
}

void json_open_list(struct json_writer *writer, const char *name)
{
    open_level(writer, name, '[', ']');
}

void json_close(struct json_writer *writer)
{
    if (writer->depth == 0) {
        writer->text->failed = true;
        return;
    }
    text_add_char(writer->text, writer->closing[--writer->depth]);
    writer->comma = true;
}

/* --- text --- */

/* The letter that stands for a character after a backslash; 0 when it has none. */
static char short_escape(unsigned char c)
{
    switch (c) {
    case '"':
    case '\\':
        return (char)c;
    case '\b':
        return 'b';
    case '\f':
        return 'f';
    case '\n':
        return 'n';
    case '\r':
        return 'r';
    case '\t':
        return 't';
    default:
        return '\0';
    }
}

static void add_escape(struct text *text, unsigned char c)
{
    static const char hex[] = "0123456789abcdef";
    char letter = short_escape(c);
    if (letter != '\0') {
        text_add(text, (const char[]){'\\', letter}, 2);
    } else {
        text_add(text, (const char[]){'\\', 'u', '0', '0', hex[c >> 4], hex[c & 15]}, 6);
    }
}

/* The length of what can be copied as it is from the beginning of value. */
static size_t plain_length(const char *value)
{
    size_t length = 0;
    uint32_t character;
    for (;;) {
        unsigned char c = (unsigned char)value[length];
        if (c < 0x20 || c == '"' || c == '\\') return length;
        size_t step = c < 0x80 ? 1 : utf8_decode(value + length, &character);
        if (step == 0) return length;
        length += step;
    }
}

/* The rest of a text, from a character on that cannot be copied. */
static void add_escaped(struct text *text, const char *value)
{
    for (; *value != '\0';) {
        unsigned char c = (unsigned char)*value++;
        if (c < 0x80) {
            add_escape(text, c);
        } else {
            text_add_string(text, "\\ufffd");
        }
        size_t plain = plain_length(value);
        text_add(text, value, plain);
        value += plain;
    }
}

/* --- values --- */

/* Characters of ours that need no escaping, between quotes. */
static void put_quoted(struct json_writer *writer, const char *name, const char *plain)
{
    put(writer, name, plain, strlen(plain), true);
}

static void put_plain(struct json_writer *writer, const char *name, const char *plain)
{
    put(writer, name, plain, strlen(plain), false);
}

void json_put_text(struct json_writer *writer, const char *name, const char *value)
{
    if (value == NULL) {
        json_put_null(writer, name);
        return;
    }
    size_t plain = plain_length(value);
    if (value[plain] == '\0') {
        put(writer, name, value, plain, true);
        return;
    }
    put(writer, name, "\"", 1, false);
    text_add(writer->text, value, plain);
    add_escaped(writer->text, value + plain);
    text_add_char(writer->text, '"');
}

void json_put_whole(struct json_writer *writer, const char *name, int64_t value)
{
    json_put_decimal(writer, name, value, 0);
}

void json_put_bool(struct json_writer *writer, const char *name, bool value)
{
    put_plain(writer, name, value ? "true" : "false");
}

void json_put_null(struct json_writer *writer, const char *name)
{
    put_plain(writer, name, "null");
}

void json_put_decimal(struct json_writer *writer, const char *name, int64_t value, int places)
{
    char digits[DECIMAL_TEXT_SIZE];
    decimal_print(digits, value, places, 0);
    put_plain(writer, name, digits);
}

void json_put_money(struct json_writer *writer, const char *name, int64_t value, int min_places)
{
    char digits[DECIMAL_TEXT_SIZE];
    decimal_print(digits, value, MONEY_PLACES, min_places);
    put_quoted(writer, name, digits);
}

void json_put_date(struct json_writer *writer, const char *name, date value)
{
    char text[DATE_TEXT_SIZE];
    date_print(text, value);
    put_quoted(writer, name, text);
}

void json_put_clock(struct json_writer *writer, const char *name, int minutes)
{
    if (minutes == NO_CLOCK) {
        json_put_null(writer, name);
        return;
    }
    char text[CLOCK_TEXT_SIZE];
    clock_print(text, minutes);
    put_quoted(writer, name, text);
}

void json_put_instant(struct json_writer *writer, const char *name, instant at,
                      const struct zone *zone)
{
    char text[INSTANT_TEXT_SIZE];
    instant_print(text, at, zone_offset(zone, at));
    put_quoted(writer, name, text);
}

void json_put_whole_or_null(struct json_writer *writer, const char *name, int64_t value, bool known)
{
    if (known)
        json_put_whole(writer, name, value);
    else
        json_put_null(writer, name);
}

void json_put_decimal_or_null(struct json_writer *writer, const char *name, int64_t value,
                              int places, bool known)
{
    if (known)
        json_put_decimal(writer, name, value, places);
    else
        json_put_null(writer, name);
}

void json_put_money_or_null(struct json_writer *writer, const char *name, int64_t value,
                            int min_places, bool known)
{
    if (known)
        json_put_money(writer, name, value, min_places);
    else
        json_put_null(writer, name);
}

void json_put_date_or_null(struct json_writer *writer, const char *name, date value, bool known)
{
    if (known)
        json_put_date(writer, name, value);
    else
        json_put_null(writer, name);
}

void json_put_instant_or_null(struct json_writer *writer, const char *name, instant at,
                              const struct zone *zone, bool known)
{
    if (known)
        json_put_instant(writer, name, at, zone);
    else
        json_put_null(writer, name);
}

void json_put_raw(struct json_writer *writer, const char *name, const char *json)
{
    put_plain(writer, name, json == NULL ? "null" : json);
}

void json_put_members(struct json_writer *writer, const char *json, size_t length)
{
    if (length > 0) put(writer, NULL, json, length, false);
}
