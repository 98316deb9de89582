"""stub"""
def TerminalMiddleware(get_response):
    return get_response
