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

/* What stands before a value: the comma and the name. */
static void begin(struct json_writer *writer, const char *name)
{
    if (writer->comma) text_add_char(writer->text, ',');
    writer->comma = true;
    if (name == NULL) return;
    text_add_char(writer->text, '"');
    text_add_string(writer->text, name);
    text_add(writer->text, "\":", 2);
}

static void open_level(struct json_writer *writer, const char *name, char opening, char closing)
{
    if (writer->depth == JSON_DEPTH_MAX) {
        writer->text->failed = true;
        return;
    }
    begin(writer, name);
    text_add_char(writer->text, opening);
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

static void add_string(struct text *text, const char *value)
{
    text_add_char(text, '"');
    for (;;) {
        size_t plain = plain_length(value);
        text_add(text, value, plain);
        value += plain;
        unsigned char c = (unsigned char)*value;
        if (c == '\0') break;
        if (c < 0x80) {
            add_escape(text, c);
        } else {
            text_add_string(text, "\\ufffd");
        }
        value++;
    }
    text_add_char(text, '"');
}

/* --- values --- */

/* Characters of ours that need no escaping, between quotes. */
static void put_quoted(struct json_writer *writer, const char *name, const char *plain)
{
    begin(writer, name);
    text_add_char(writer->text, '"');
    text_add_string(writer->text, plain);
    text_add_char(writer->text, '"');
}

static void put_plain(struct json_writer *writer, const char *name, const char *plain)
{
    begin(writer, name);
    text_add_string(writer->text, plain);
}

void json_put_text(struct json_writer *writer, const char *name, const char *value)
{
    if (value == NULL) {
        json_put_null(writer, name);
        return;
    }
    begin(writer, name);
    add_string(writer->text, value);
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

void json_put_raw(struct json_writer *writer, const char *name, const char *json)
{
    put_plain(writer, name, json == NULL ? "null" : json);
}
