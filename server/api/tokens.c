/* /tokens: programs that may call. A token is shown once, when it is made. */
#include "api/handlers.h"
#include "api/page.h"
#include "api/sign_in.h"
#include "api/zone.h"
#include "base/arena.h"
#include "http/secret.h"
#include "store/access.h"

#include <string.h>

bool list_tokens(struct request *request)
{
    struct access_token *tokens;
    size_t count;
    const struct zone *zone;
    struct page page;
    if (!page_read(request, &page) || !request_zone(request, &zone) ||
        !access_select_tokens(request->tx, &tokens, &count))
        return false;
    struct json_writer *json = page_open(request);
    for (size_t i = 0; i < count; i++) {
        if (page.after != NULL && strcmp(tokens[i].name, page.after) <= 0) continue;
        if (!page_takes(&page, tokens[i].name)) break;
        json_open_object(json, NULL);
        json_put_text(json, "name", tokens[i].name);
        json_put_text(json, "role", tokens[i].role);
        json_put_instant(json, "created_at", tokens[i].created_at, zone);
        json_close(json);
    }
    page_close(request, &page);
    return true;
}

static void write_token(struct json_writer *json, const char *name, const char *role,
                        const char *token)
{
    json_open_object(json, NULL);
    json_put_text(json, "name", name);
    json_put_text(json, "role", role);
    json_put_text(json, "token", token);
    json_close(json);
}

/* What a repeated request is told: the token itself is stored nowhere. */
static const char *without_token(struct request *request, const char *name, const char *role)
{
    struct text text;
    struct json_writer json;
    text_init(&text, request->arena, 4096);
    json_writer_init(&json, &text);
    write_token(&json, name, role, NULL);
    return text_ok(&text) ? text.data : NULL;
}

bool post_token(struct request *request)
{
    struct json_node root;
    struct json_object body;
    char credential[CREDENTIAL_SIZE], digest[DIGEST_TEXT_SIZE];
    if (!request_json(request, &root)) return false;
    json_object_open(&body, root);
    const char *name = json_code(&body, "name", JSON_REQUIRED);
    const char *role = role_words[json_word(&body, "role", JSON_REQUIRED, role_words, 0)];
    if (!json_object_close(&body)) return false;
    sign_in_new_credential(request->bakery_id, credential, digest);
    if (!access_add_token(request->tx, name, role, digest)) return false;
    write_token(reply_json(request, 201), name, role, credential);
    reply_location(request, "/api/v1/tokens/%s", name);
    request->reply.replay_body = without_token(request, name, role);
    return request->reply.replay_body != NULL;
}

bool delete_token(struct request *request)
{
    bool found;
    const char *name = request_param(request, "name");
    if (!access_delete_token(request->tx, name, &found)) return false;
    if (!found) return fail_add(&request->fails, FAIL_NOT_FOUND, "", "there is no token %s", name);
    reply_nothing(request);
    return true;
}
