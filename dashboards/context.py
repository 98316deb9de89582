"""stub"""
def chrome(request):
    return {}
