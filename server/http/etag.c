/* Entity tags.
 *
 * Invariants: a tag that etag_print() wrote is read back by etag_revision(), except that a reckoned
 * answer (revision 0) is nothing that a write could be built on. A weak mark (W/) is passed over:
 * proxies that compress put it there, and the revision still names the same stored state.
 */
#include "http/etag.h"

#include "base/decimal.h"
#include "http/secret.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { HASH_DIGITS = 16 };

struct tag {
    const char *text; /* from quote to quote */
    size_t length;
};

void etag_print(char out[ETAG_SIZE], int64_t revision, const void *body, size_t length)
{
    char digest[DIGEST_TEXT_SIZE];
    digest_text(digest, body, length);
    snprintf(out, ETAG_SIZE, "\"%" PRId64 ".%.*s\"", revision, HASH_DIGITS, digest);
}

/* Takes the next tag of a list; false at its end, and where it stops being one. */
static bool next_tag(const char **rest, struct tag *tag)
{
    const char *begin = *rest + strspn(*rest, ", \t");
    if (strncmp(begin, "W/", 2) == 0) begin += 2;
    if (*begin != '"') return false;
    const char *end = strchr(begin + 1, '"');
    if (end == NULL) return false;
    *tag = (struct tag){begin, (size_t)(end + 1 - begin)};
    *rest = end + 1;
    return true;
}

static bool is_any(const char *header)
{
    return strcmp(header, "*") == 0;
}

bool etag_listed(const char *header, const char *tag)
{
    struct tag listed;
    if (is_any(header)) return true;
    while (next_tag(&header, &listed))
        if (listed.length == strlen(tag) && memcmp(listed.text, tag, listed.length) == 0)
            return true;
    return false;
}

/* The revision of a tag of our own form; -1 else. */
static int64_t tag_revision(struct tag tag)
{
    static const char hex[] = "0123456789abcdef";
    int64_t revision;
    const char *dot = memchr(tag.text, '.', tag.length);
    if (dot == NULL || strspn(dot + 1, hex) != HASH_DIGITS || dot[1 + HASH_DIGITS] != '"')
        return -1;
    if (strspn(tag.text + 1, "0123456789") != (size_t)(dot - tag.text - 1)) return -1;
    if (decimal_parse(tag.text + 1, (size_t)(dot - tag.text - 1), 0, &revision) != DECIMAL_OK)
        return -1;
    return revision > 0 ? revision : -1;
}

/* Of several tags the newest stands for all: an older one could at best be refused needlessly. */
int64_t etag_revision(const char *header)
{
    struct tag tag;
    int64_t newest = -1;
    if (is_any(header)) return 0;
    while (next_tag(&header, &tag)) {
        int64_t revision = tag_revision(tag);
        if (revision > newest) newest = revision;
    }
    return newest;
}
