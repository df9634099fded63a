/* The guard against request smuggling and its kin.
 *
 * libmicrohttpd's parser lets through what a proxy before us may read in another way: two lengths,
 * two hosts, a name with a space before the colon, control bytes in values. It also decodes a path
 * before anybody sees it, so that %2F becomes a segment's end and %00 the path's. All of that is
 * refused here, before anything else is looked at, and the connection is closed.
 */
#include "http/guard.h"

#include <stdbool.h>
#include <stddef.h>
#include <string.h>
#include <strings.h>

/* --- the target --- */

static int hex_value(char digit)
{
    static const char digits[] = "0123456789abcdef";
    const char *found = digit != '\0' ? strchr(digits, digit | 0x20) : NULL;
    return found != NULL ? (int)(found - digits) : -1;
}

/* The byte that an escape at this percent sign stands for; -1: it is none. */
static int escaped_byte(const char *percent)
{
    int high = hex_value(percent[1]);
    int low = high >= 0 ? hex_value(percent[2]) : -1;
    return low >= 0 ? high * 16 + low : -1;
}

static bool is_control(int byte)
{
    return byte < ' ' || byte == 127;
}

const char *guard_target(const char *target)
{
    const char *path_end = target + strcspn(target, "?");
    for (const char *at = target; *at != '\0'; at++) {
        bool escaped = *at == '%';
        int byte = escaped ? escaped_byte(at) : (unsigned char)*at;
        if (escaped && byte < 0) return "an escape in the address is not % and two hex digits";
        if (is_control(byte)) return "the address has control characters";
        if (escaped && byte == '/' && at < path_end) return "the path has an escaped slash";
    }
    return target[0] == '/' ? NULL : "the address is not a path of this server";
}

/* --- the headers --- */

struct tally {
    unsigned seen;  /* of those that may come only once, by their place in the list */
    bool repeated;  /* one of them came again */
    bool bad_name;  /* not a token */
    bool bad_value; /* control bytes */
    bool bad_length;
};

enum { HOST = 1U << 0 };

static const char *const once[] = {"Host",          "Content-Length",  "Content-Type",
                                   "Authorization", "Idempotency-Key", "Origin"};

static void count(struct tally *tally, const char *name)
{
    for (size_t i = 0; i < sizeof once / sizeof once[0]; i++) {
        if (strcasecmp(name, once[i]) != 0) continue;
        if (tally->seen & (1U << i)) tally->repeated = true;
        tally->seen |= 1U << i;
    }
}

/* A token of RFC 9110, section 5.6.2. */
static bool is_token(const char *name, size_t length)
{
    static const char allowed[] =
        "!#$%&'*+-.^_`|~0123456789abcdefghijklmnopqrstuvwxyz"
        "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    return length > 0 && strspn(name, allowed) == length;
}

static bool is_clean(const char *value, size_t length)
{
    for (size_t i = 0; i < length; i++)
        if (is_control((unsigned char)value[i]) && value[i] != '\t') return false;
    return true;
}

static bool is_digits(const char *value)
{
    return value != NULL && value[0] != '\0' && value[strspn(value, "0123456789")] == '\0';
}

static enum MHD_Result look_at(void *context, enum MHD_ValueKind kind, const char *name,
                               size_t name_length, const char *value, size_t length)
{
    struct tally *tally = context;
    (void)kind;
    if (name == NULL || !is_token(name, name_length)) {
        tally->bad_name = true;
        return MHD_NO;
    }
    count(tally, name);
    if (value != NULL && !is_clean(value, length)) tally->bad_value = true;
    if (strcasecmp(name, "Content-Length") == 0 && !is_digits(value)) tally->bad_length = true;
    return MHD_YES;
}

const char *guard_headers(struct MHD_Connection *connection)
{
    struct tally tally = {0};
    MHD_get_connection_values_n(connection, MHD_HEADER_KIND, look_at, &tally);
    if (tally.bad_name) return "a header's name is not a token";
    if (tally.bad_value) return "a header has control characters";
    if (tally.bad_length) return "Content-Length is not a number";
    if (tally.repeated) return "a header that may come only once came again";
    if ((tally.seen & HOST) == 0) return "there is no Host";
    return NULL;
}
